/** What lies on desks beside a target: pages with writing, ruled paper, coins, cut strips, drawn swatches. Made for these tests. */
import type { BoxMm, PointMm } from '../../analysis/calibrate/calibration.ts';
import { homography, invertHomography, type Point } from '../../analysis/raster/homography.ts';
import type { Canvas, Rgb } from './canvas.ts';

export interface Clutter {
  /**
   * 'page': paper with lines of writing. 'ruled': the same on ruled paper; 'squared' on squared paper. 'paper': a bare sheet.
   * 'coins': dark and pale discs. 'dark': dark boxes. 'swatches': a painted grid of colours, like a paint-box's own card.
   */
  readonly kind: 'page' | 'ruled' | 'squared' | 'paper' | 'coins' | 'dark' | 'swatches';
  /** Where, mm of the scan. @default all of it */
  readonly boxMm?: BoxMm;
  readonly turnDeg?: number;
  /** The paper's colour; left out: by chance. */
  readonly paper?: Rgb;
}

/** Draws on a turned box: own coordinates in mm from its top left. */
interface Sheet {
  readonly widthMm: number;
  readonly heightMm: number;
  at(x: number, y: number): Point;
  box(boxMm: BoxMm, colour: Rgb): void;
  stroke(from: PointMm, to: PointMm, widthMm: number, colour: Rgb): void;
  disc(centre: PointMm, radiusMm: number, colour: Rgb): void;
}

export function drawClutter(
  canvas: Canvas,
  clutter: Clutter,
  sizeMm: PointMm,
  pxPerMm: number,
  random: () => number,
): void {
  const sheet = sheetOn(canvas, clutter.boxMm ?? [0, 0, ...sizeMm], clutter.turnDeg ?? 0, pxPerMm);
  const paper = clutter.paper ?? paleColour(random);
  switch (clutter.kind) {
    case 'coins':
      return drawCoins(sheet, random);
    case 'dark':
      return drawDarkThings(sheet, random);
    case 'swatches':
      sheet.box([0, 0, sheet.widthMm, sheet.heightMm], paper);
      return drawSwatches(sheet, random);
    default:
      sheet.box([0, 0, sheet.widthMm, sheet.heightMm], paper);
      if (clutter.kind === 'ruled') drawRules(sheet, 7 + 3 * random(), false, random);
      if (clutter.kind === 'squared') drawRules(sheet, 4 + 2 * random(), true, random);
      if (clutter.kind !== 'paper') drawWriting(sheet, random);
  }
}

function sheetOn(canvas: Canvas, [x, y, w, h]: BoxMm, turnDeg: number, pxPerMm: number): Sheet {
  const turn = (turnDeg * Math.PI) / 180;
  const at = (u: number, v: number): Point => [
    (x + w / 2 + Math.cos(turn) * (u - w / 2) - Math.sin(turn) * (v - h / 2)) * pxPerMm,
    (y + h / 2 + Math.sin(turn) * (u - w / 2) + Math.cos(turn) * (v - h / 2)) * pxPerMm,
  ];
  const corners: Point[] = [
    [0, 0],
    [w, 0],
    [w, h],
    [0, h],
  ];
  const toPx = homography(
    corners,
    corners.map(([u, v]) => at(u, v)),
  );
  const back = invertHomography(toPx);
  return {
    widthMm: w,
    heightMm: h,
    at,
    box: (boxMm, colour) => canvas.paintBox(toPx, back, boxMm, colour),
    stroke: (from, to, widthMm, colour) => canvas.paintStroke(at(...from), at(...to), widthMm * pxPerMm, colour),
    disc: (centre, radiusMm, colour) => canvas.paintDisc(toPx, back, centre, radiusMm, colour),
  };
}

/** Loops, stems and dots in words and lines, in one or two inks; some words crossed out, some blots. */
function drawWriting(sheet: Sheet, random: () => number): void {
  const pitch = 6 + 5 * random();
  const height = pitch * (0.25 + 0.15 * random());
  const width = 0.25 + 0.6 * random() ** 2;
  let ink = inkColour(random);
  for (let base = pitch * 1.5; base < sheet.heightMm - 3; base += pitch) {
    if (random() < 0.1) ink = inkColour(random);
    let x = 6 + 6 * random();
    const end = sheet.widthMm - 5 - 20 * random() ** 3;
    while (x < end) {
      const letters = 2 + Math.floor(8 * random());
      const from = x;
      let last: PointMm = [x, base];
      const pen = (px: number, py: number): void => {
        if (px > sheet.widthMm - 2) return;
        sheet.stroke(last, [px, py], width * (0.75 + 0.5 * random()), ink);
        last = [px, py];
      };
      for (let k = 0; k < letters; k++) {
        const tall = random() < 0.25 ? 2 : 1;
        const low = random() < 0.15 ? 1 : 0;
        const step = height * (0.55 + 0.35 * random());
        pen(x + 0.35 * step, base - height * tall * (0.85 + 0.2 * random()));
        pen(x + 0.65 * step, base - height * tall * (0.8 + 0.25 * random()));
        pen(x + 0.55 * step, base + height * low);
        pen(x + step, base - 0.15 * height * random());
        x += step;
        if (random() < 0.06) sheet.disc([x, base - 1.8 * height], width * 0.8, ink);
      }
      if (random() < 0.03) sheet.stroke([from, base - 0.4 * height], [x, base - 0.45 * height], width, ink);
      x += height * (0.7 + 0.5 * random());
    }
  }
  const blots = Math.floor(4 * random() * random());
  for (let k = 0; k < blots; k++) {
    sheet.disc([sheet.widthMm * random(), sheet.heightMm * random()], 0.5 + 2.5 * random(), inkColour(random));
  }
}

function drawRules(sheet: Sheet, pitchMm: number, squared: boolean, random: () => number): void {
  const pale = 0.55 + 0.3 * random();
  const colour: Rgb = [pale * 0.9, pale * 0.97, pale * 1.08];
  const width = 0.12 + 0.1 * random();
  for (let y = pitchMm; y < sheet.heightMm; y += pitchMm) sheet.stroke([1, y], [sheet.widthMm - 1, y], width, colour);
  if (!squared) return;
  for (let x = pitchMm; x < sheet.widthMm; x += pitchMm) sheet.stroke([x, 1], [x, sheet.heightMm - 1], width, colour);
}

function drawCoins(sheet: Sheet, random: () => number): void {
  const coins = 2 + Math.floor(5 * random());
  for (let k = 0; k < coins; k++) {
    const centre: PointMm = [sheet.widthMm * random(), sheet.heightMm * random()];
    const radius = 1.5 + 10 * random() ** 2;
    const tone = 0.1 + 0.6 * random();
    sheet.disc(centre, radius, [tone, tone * 0.9, tone * 0.75]);
    // A rim, or a hole as in a washer.
    if (random() < 0.6) sheet.disc(centre, radius * (0.3 + 0.55 * random()), [tone * 1.3, tone * 1.2, tone]);
  }
}

function drawDarkThings(sheet: Sheet, random: () => number): void {
  const things = 2 + Math.floor(4 * random());
  for (let k = 0; k < things; k++) {
    const tone = 0.05 + 0.25 * random();
    const w = 5 + 0.4 * sheet.widthMm * random();
    const h = 3 + 25 * random() ** 2;
    sheet.box([(sheet.widthMm - w) * random(), (sheet.heightMm - h) * random(), w, h], [tone, tone, tone * 1.1]);
  }
}

/** Rows of painted cells as ink collectors draw them: a grid of colours that is no target. */
function drawSwatches(sheet: Sheet, random: () => number): void {
  const pitch = 8 + 8 * random();
  const gap = 1 + 2 * random();
  for (let y = gap; y + pitch < sheet.heightMm; y += pitch) {
    for (let x = gap; x + pitch < sheet.widthMm; x += pitch) {
      sheet.box([x, y, pitch - gap, pitch - gap], anyColour(random));
    }
  }
}

function inkColour(random: () => number): Rgb {
  const dark = 0.08 + 0.3 * random() ** 2;
  return [dark + 0.4 * random() ** 2, dark + 0.25 * random() ** 2, dark + 0.5 * random() ** 2];
}

function paleColour(random: () => number): Rgb {
  const pale = 0.82 + 0.14 * random();
  return [pale, pale - 0.03 * random(), pale - 0.12 * random() ** 2];
}

function anyColour(random: () => number): Rgb {
  const value = (): number => 0.15 + 0.8 * random();
  return [value(), value(), value()];
}
