/** The card as a vector PDF for the printer, one sheet of A4 or US Letter. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import Pdf from 'pdfkit';
import { CARD_PLACES, type DeviceRgb, slantedEdgeDark, WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { CARD_WORDS, SHEET_WORDS } from './cardWords.ts';

export type SheetSize = 'a4' | 'letter';

/** Width and height of the sheet, mm. */
export const SHEETS: Readonly<Record<SheetSize, readonly [widthMm: number, heightMm: number]>> = {
  a4: [210, 297],
  letter: [215.9, 279.4],
};
/** From the sheet's top edge to the card's: inside what printers can reach. */
const CARD_TOP_MM = 22;
const PT_PER_MM = 72 / 25.4;
const BLACK: DeviceRgb = [0, 0, 0];
const GREY: DeviceRgb = [0.45, 0.45, 0.45];
const FONT = { regular: 'DejaVuSansCondensed.ttf', bold: 'DejaVuSansCondensed-Bold.ttf' } as const;
/** Any fixed day: with the real one the same card would be another file every time. */
const MADE = new Date(Date.UTC(2026, 0, 1));

/** Where the origin of the card's plan (its first disc) lies on the sheet, mm from the top left. */
export function cardOrigin(size: SheetSize): readonly [xMm: number, yMm: number] {
  const { widthMm, marginMm } = CARD_PLACES;
  return [(SHEETS[size][0] - widthMm) / 2 + marginMm, CARD_TOP_MM + marginMm];
}

/** The same bytes every time: nothing of the day or the machine goes into the file. Colours are device RGB, without a profile. */
export async function cardPdf(size: SheetSize): Promise<Uint8Array> {
  const resolve = createRequire(import.meta.url).resolve;
  const [regular, bold] = [FONT.regular, FONT.bold].map((file) =>
    readFileSync(resolve(`dejavu-fonts-ttf/ttf/${file}`)),
  );
  const doc = new Pdf({
    size: [SHEETS[size][0] * PT_PER_MM, SHEETS[size][1] * PT_PER_MM],
    margin: 0,
    autoFirstPage: false,
    info: { Title: WETLINE_CARD.layout.name, Creator: 'Wetline', Producer: 'Wetline', CreationDate: MADE },
  });
  const parts: Uint8Array[] = [];
  doc.on('data', (part: Uint8Array) => parts.push(part));
  const ended = new Promise<void>((done, fail) => {
    doc.on('end', done);
    doc.on('error', fail);
  });
  doc.registerFont('regular', regular);
  doc.registerFont('bold', bold);
  doc.addPage();
  const pen = penAt(doc, cardOrigin(size));
  drawPatches(pen);
  drawDiscs(pen);
  pen.polygon(slantedEdgeDark(CARD_PLACES.edgeBoxMm), BLACK);
  drawScale(pen);
  drawWords(pen);
  drawCutMarks(pen);
  drawSheetWords(pen);
  doc.end();
  await ended;
  return Buffer.concat(parts);
}

type Doc = InstanceType<typeof Pdf>;

interface TextStyle {
  readonly sizeMm: number;
  readonly bold?: boolean;
  readonly colour?: DeviceRgb;
  readonly align?: 'left' | 'center' | 'right';
}

interface Pen {
  rect(box: readonly [number, number, number, number], colour: DeviceRgb): void;
  polygon(corners: readonly (readonly [number, number])[], colour: DeviceRgb): void;
  /** A disc, or a ring when `hole` is given: what is in it stays bare. */
  disc(x: number, y: number, radius: number, hole: number): void;
  line(x1: number, y1: number, x2: number, y2: number, width: number, colour?: DeviceRgb): void;
  /** One line; `y` is its baseline. */
  text(words: string, x: number, y: number, style: TextStyle): void;
}

/** Draws in millimetres of the card's plan. */
function penAt(doc: Doc, [x0, y0]: readonly [number, number]): Pen {
  const X = (mm: number): number => (x0 + mm) * PT_PER_MM;
  const Y = (mm: number): number => (y0 + mm) * PT_PER_MM;
  const L = (mm: number): number => mm * PT_PER_MM;
  const ink = (rgb: DeviceRgb): [number, number, number] => [255 * rgb[0], 255 * rgb[1], 255 * rgb[2]];
  return {
    rect([x, y, w, h], colour) {
      doc.rect(X(x), Y(y), L(w), L(h)).fill(ink(colour));
    },
    polygon(corners, colour) {
      corners.forEach(([x, y], i) => (i === 0 ? doc.moveTo(X(x), Y(y)) : doc.lineTo(X(x), Y(y))));
      doc.closePath().fill(ink(colour));
    },
    disc(x, y, radius, hole) {
      doc.circle(X(x), Y(y), L(radius));
      if (hole > 0) doc.circle(X(x), Y(y), L(hole));
      doc.fillColor(ink(BLACK)).fill('even-odd');
    },
    line(x1, y1, x2, y2, width, colour = BLACK) {
      doc.moveTo(X(x1), Y(y1)).lineTo(X(x2), Y(y2)).lineWidth(L(width)).stroke(ink(colour));
    },
    text(words, x, y, { sizeMm, bold = false, colour = BLACK, align = 'left' }) {
      doc.font(bold ? 'bold' : 'regular', L(sizeMm));
      const shift = align === 'left' ? 0 : doc.widthOfString(words) * (align === 'right' ? 1 : 0.5);
      doc.fillColor(ink(colour)).text(words, X(x) - shift, Y(y), { lineBreak: false, baseline: 'alphabetic' });
    },
  };
}

function drawPatches(pen: Pen): void {
  for (const { id, boxMm } of WETLINE_CARD.layout.patches) {
    const rgb = WETLINE_CARD.patches.get(id);
    if (rgb !== undefined) pen.rect(boxMm, rgb);
  }
}

function drawDiscs(pen: Pen): void {
  const { discRadiusMm, eyeRadiusMm } = CARD_PLACES;
  WETLINE_CARD.layout.pointsMm.forEach(([x, y], k) => pen.disc(x, y, discRadiusMm, k === 0 ? eyeRadiusMm : 0));
}

/** From tick to tick, middle to middle. */
function drawScale(pen: Pen): void {
  const { scaleFromMm, scaleLengthMm } = CARD_PLACES;
  const [x, y] = scaleFromMm;
  pen.line(x, y, x + scaleLengthMm, y, 0.2);
  for (let mm = 0; mm <= scaleLengthMm; mm += 5) {
    const end = mm === 0 || mm === scaleLengthMm;
    pen.line(x + mm, y - (end ? 3 : mm % 10 === 0 ? 2 : 1.2), x + mm, y, 0.15);
    if (mm % 10 === 0) pen.text(`${mm}`, x + mm, y + 2.9, { sizeMm: 2.2, align: 'center' });
  }
  pen.text(CARD_WORDS.scale, x, y + 6.6, { sizeMm: 2.2 });
}

function drawWords(pen: Pen): void {
  const { spanMm, heightMm, marginMm } = CARD_PLACES;
  pen.text(CARD_WORDS.title, spanMm[0] / 2, -2.2, { sizeMm: 2.4, bold: true, align: 'center' });
  const [left, middle, right] = [82, 121, spanMm[0]];
  const field = (name: string, x: number, y: number, to: number): void => {
    pen.text(name, x, y, { sizeMm: 2.2 });
    pen.line(x + 13, y + 0.6, to, y + 0.6, 0.12, GREY);
  };
  const { date, ink, printer, paper } = CARD_WORDS;
  field(date, left, 62.6, middle - 2);
  field(ink, middle, 62.6, right);
  field(printer, left, 67.3, right);
  field(paper, left, 72, right);
  pen.text(CARD_WORDS.care, 0, heightMm - marginMm - 1.6, { sizeMm: 2.2 });
}

/** Outside the corners, so that nothing of them is left on a card that is cut a little small. */
function drawCutMarks(pen: Pen): void {
  const { widthMm, heightMm, marginMm } = CARD_PLACES;
  for (const x of [-marginMm, widthMm - marginMm]) {
    for (const y of [-marginMm, heightMm - marginMm]) {
      const [outX, outY] = [x < 0 ? -1 : 1, y < 0 ? -1 : 1];
      pen.line(x + outX, y, x + 5 * outX, y, 0.1, GREY);
      pen.line(x, y + outY, x, y + 5 * outY, 0.1, GREY);
    }
  }
}

function drawSheetWords(pen: Pen): void {
  let y = CARD_PLACES.heightMm - CARD_PLACES.marginMm + 16;
  for (const { heading, lines } of SHEET_WORDS) {
    pen.text(heading, 0, y, { sizeMm: 3.6, bold: true });
    y += 6;
    for (const line of lines) {
      pen.text(line, 0, y, { sizeMm: 3.1 });
      y += 5;
    }
    y += 3.5;
  }
}
