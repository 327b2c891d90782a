/**
 * The whole picture put together: the page on its neutral surround, strips' profiles beside it, cards of words to the right,
 * a header above and a legend below. Lengths are points; `scale` pixels make one.
 */
import type { CompiledCalibration } from '../../analysis/calibrate/apply.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { OverlayRegion, OverlayTask } from '../jobs/tasks.ts';
import { arrange } from './arrange.ts';
import type { Card } from './card.ts';
import type { Ground } from './ground.ts';
import { factsOf, header, warningOf } from './header.ts';
import { drawInset } from './inset.ts';
import { boxLegend, inkLegend, legend, type LegendEntry, targetLegend } from './legend.ts';
import { lineColourFar } from './lineColour.ts';
import { drawPageMarks } from './pageMarks.ts';
import { drawShapes, lay, newPicture, type Picture } from './picture.ts';
import { type NumberedBox, type Place, regionBoxes } from './regionBoxes.ts';
import { type CardSpace, colourOf, regionCard } from './regionCard.ts';
import { BAND_TABLE_WIDTH } from './stripCard.ts';
import { targetCard } from './targetCard.ts';
import { targetMarks } from './targetMarks.ts';
import { shown, SURROUND_CODE, type Rgb } from './tones.ts';

const MARGIN = 28;
const GAP = 16;
const COLUMN = 318;
const INSET = { width: 360, height: 196 };
/** The legend needs this much even under a small page. */
const LEAST_LEFT = 420;

export async function compose(asked: OverlayTask, ground: Ground, calibration: CompiledCalibration): Promise<Picture> {
  const task = { ...asked, regions: inReadingOrder(asked.regions) };
  const scale = typeScale(ground);
  const line = shown(lineColourFar(coloursUnder(task)));
  const space = cardSpace(task, scale);
  const cards = await drawCards(task, calibration, line.hex, space);

  const page = { width: ground.picture.widthPx / scale, height: ground.picture.heightPx / scale };
  const leftWidth = Math.max(LEAST_LEFT, page.width);
  const toPoints = ground.scale / scale;
  const key = legend(legendEntries(task, line.hex), (toPoints * task.dpi) / 25.4, leftWidth);
  const leftHeight = page.height + GAP + key.height;
  const cardWidth = cards[0]?.width ?? 0;
  const columns = arrange(
    cards.map((c) => c.height),
    cardWidth,
    GAP,
    { width: leftWidth, height: leftHeight },
  );
  const width = leftWidth + columns.columns * (cardWidth + GAP);
  const top = header(
    {
      scanId: task.scanId,
      paper: task.paper,
      facts: factsOf({ ...task.info, dpi: task.dpi }, ground.scale, task.calibration),
      warning: warningOf(task.calibration),
    },
    width,
  );
  const pageTop = MARGIN + top.height + GAP;
  const picture = newPicture(
    Math.round((width + 2 * MARGIN) * scale),
    Math.round((pageTop + Math.max(leftHeight, columns.height) + MARGIN) * scale),
    SURROUND_CODE,
  );
  const draw = (shapes: string, x: number, y: number, w: number, h: number): Promise<void> =>
    drawShapes(
      picture,
      shapes,
      {
        left: Math.round(x * scale),
        top: Math.round(y * scale),
        widthPx: Math.ceil(w * scale),
        heightPx: Math.ceil(h * scale),
      },
      scale,
    );

  await draw(top.shapes, MARGIN, MARGIN, width, top.height);
  await drawPage(task, ground, line, scale);
  lay(picture, ground.picture, Math.round(MARGIN * scale), Math.round(pageTop * scale));
  await draw(key.shapes, MARGIN, pageTop + page.height + GAP, leftWidth, key.height);
  for (const [i, card] of cards.entries()) {
    const place = columns.places[i];
    const x = MARGIN + leftWidth + GAP + place.column * (cardWidth + GAP);
    await drawCard(picture, card, x, pageTop + place.y, draw, scale);
  }
  return picture;
}

/** Larger pictures get larger type, so that it can be read when the whole is fitted to a screen. */
function typeScale({ picture }: Ground): number {
  const longest = Math.max(picture.widthPx, picture.heightPx);
  return Math.min(1.75, Math.max(1, Math.round((longest / 1300) * 4) / 4));
}

function cardSpace(task: OverlayTask, scale: number): CardSpace {
  const strips = task.regions.some((r) => r.result?.strip);
  const marked = task.regions.some((r) => r.result?.marks);
  return { columnWidth: strips ? BAND_TABLE_WIDTH - 80 : COLUMN, insetWidth: marked ? INSET.width : 0, scale };
}

async function drawCards(
  task: OverlayTask,
  calibration: CompiledCalibration,
  lineHex: string,
  space: CardSpace,
): Promise<readonly Card[]> {
  const cards: Card[] = [];
  if (task.target) cards.push(targetCard(task.target, task.calibration, space.columnWidth, space.insetWidth));
  const most = { widthPx: INSET.width * space.scale, heightPx: INSET.height * space.scale };
  for (const [i, region] of task.regions.entries()) {
    const marks = region.result?.marks;
    const inset = marks
      ? await drawInset({ ...task, calibration }, { boxPx: region.boxPx, marks }, lineHex, most, space.scale)
      : null;
    cards.push(regionCard(region, i + 1, paperUnder(region), inset, space));
  }
  return cards;
}

/** Marks, boxes and the target's patches on the page itself. */
async function drawPage(
  task: OverlayTask,
  ground: Ground,
  line: { readonly rgb: Rgb; readonly hex: string },
  scale: number,
): Promise<void> {
  const { widthPx, heightPx } = ground.picture;
  const page: Place = { x: 0, y: 0, width: widthPx / scale, height: heightPx / scale };
  const toPoints = ground.scale / scale;
  const toPage = ([x, y]: Point): Point => [x * toPoints, y * toPoints];
  let shapes = '';
  for (const { boxPx, result } of task.regions) {
    if (result?.marks) shapes += drawPageMarks(ground, { boxPx, marks: result.marks }, line, scale);
  }
  if (task.target) shapes += targetMarks(task.target, task.calibration, toPage, page);
  const boxes = task.regions.map(({ kind, boxPx: [x, y, w, h] }, i): NumberedBox => ({
    number: i + 1,
    dashed: kind === 'paper',
    x: x * toPoints,
    y: y * toPoints,
    width: w * toPoints,
    height: h * toPoints,
  }));
  shapes += regionBoxes(boxes, page, line.hex);
  await drawShapes(ground.picture, shapes, { left: 0, top: 0, widthPx, heightPx }, scale);
}

async function drawCard(
  picture: Picture,
  card: Card,
  x: number,
  y: number,
  draw: (shapes: string, x: number, y: number, w: number, h: number) => Promise<void>,
  scale: number,
): Promise<void> {
  await draw(card.shapes, x, y, card.width, card.height);
  if (card.picture) {
    lay(
      picture,
      card.picture.piece,
      Math.round((x + card.picture.x) * scale),
      Math.round((y + card.picture.y) * scale),
    );
  }
}

function paperUnder(region: OverlayRegion): LabValue | null {
  const lab = region.result?.ink?.paper.lab;
  return lab ? [lab[0], lab[1], lab[2]] : null;
}

/** What lines on this page cross. */
function coloursUnder(task: OverlayTask): readonly LabValue[] {
  const regions = task.regions.flatMap((r) => [colourOf(r.result?.quantities ?? []) ?? [], paperUnder(r) ?? []]);
  const found = regions.filter((lab): lab is LabValue => lab.length === 3);
  return found.length > 0
    ? found
    : [
        [95, 0, 0],
        [25, 0, 0],
      ];
}

function legendEntries(task: OverlayTask, lineHex: string): readonly LegendEntry[] {
  const kinds = new Set(task.regions.map((r) => r.kind));
  return [
    ...(task.regions.some((r) => r.kind !== 'paper') ? [boxLegend('region measured', lineHex, false)] : []),
    ...(kinds.has('paper') ? [boxLegend('bare paper', lineHex, true)] : []),
    ...(task.regions.some((r) => r.result?.marks) ? inkLegend(lineHex) : []),
    ...(task.target ? targetLegend() : []),
  ];
}

/** Down the page, and from left to right where boxes stand beside each other, so that numbers are where one looks for them. */
function inReadingOrder(regions: readonly OverlayRegion[]): readonly OverlayRegion[] {
  const rows: OverlayRegion[][] = [];
  for (const region of regions.toSorted((a, b) => middle(a) - middle(b))) {
    const [, top, , height] = region.boxPx;
    const row = rows.at(-1);
    const beside = row?.every(
      ({ boxPx: [, y, , h] }) => middle(region) < y + h && y + h / 2 > top && y + h / 2 < top + height,
    );
    if (row && beside) row.push(region);
    else rows.push([region]);
  }
  return rows.flatMap((row) => row.toSorted((a, b) => a.boxPx[0] - b.boxPx[0]));
}

function middle({ boxPx: [, top, , height] }: OverlayRegion): number {
  return top + height / 2;
}
