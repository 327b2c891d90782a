/**
 * The whole picture put together: the page on its neutral surround, strips' profiles beside it, cards of words to the right,
 * a header above and a legend below. Lengths are points; `scale` pixels make one.
 */
import type { CompiledCalibration } from '../../analysis/calibrate/apply.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { OverlayTask } from '../jobs/tasks.ts';
import { arrange } from './arrange.ts';
import type { Card } from './card.ts';
import type { Ground } from './ground.ts';
import { factsOf, header, warningOf } from './header.ts';
import { drawInset } from './inset.ts';
import type { Rgb } from '../../analysis/colour/shown.ts';
import { legend } from './legend.ts';
import { legendEntries } from './legendEntries.ts';
import { lineColourFar } from '../../analysis/colour/lineColour.ts';
import { drawPage } from './page.ts';
import { drawShapes, lay, newPicture, type Picture } from './picture.ts';
import { inReadingOrder } from './readingOrder.ts';
import { type CardSpace, colourOf, paperUnder, regionCard } from './regionCard.ts';
import { BAND_TABLE_WIDTH } from './stripCard.ts';
import { targetCard } from './targetCard.ts';
import { stripDrawing } from './stripDrawing.ts';
import { lyingPanel, PANEL, PANEL_WIDTH, standingPanel } from './stripPanel.ts';
import { shown } from '../../analysis/colour/shown.ts';
import { SURROUND_CODE } from './tones.ts';
import { isInFont } from './typeface.ts';

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
  const cards = await drawCards(task, calibration, line, space);

  const page = { width: ground.picture.widthPx / scale, height: ground.picture.heightPx / scale };
  const toPoints = ground.scale / scale;
  const strips = task.regions.flatMap((r, i) => stripDrawing(r, i + 1, task.dpi, toPoints) ?? []);
  const standing = strips.filter((s) => s.standing);
  const lying = strips.filter((s) => !s.standing);
  const leftWidth = Math.max(LEAST_LEFT, page.width + standing.length * (GAP + PANEL_WIDTH));
  const key = legend(legendEntries(task, strips, line.hex), (toPoints * task.dpi) / 25.4, leftWidth);
  const keyTop = page.height + GAP + lying.length * (PANEL.lying + GAP);
  const leftHeight = keyTop + key.height;
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
      byNumber: !namesIn(task).every(isInFont),
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
  await drawPage(task, ground, strips, line, scale);
  lay(picture, ground.picture, Math.round(MARGIN * scale), Math.round(pageTop * scale));
  for (const [i, strip] of standing.entries()) {
    const x = MARGIN + page.width + GAP + i * (PANEL_WIDTH + GAP);
    await draw(standingPanel(strip, page.height), x, pageTop, PANEL_WIDTH, page.height);
  }
  for (const [i, strip] of lying.entries()) {
    const y = pageTop + page.height + GAP + i * (PANEL.lying + GAP);
    await draw(lyingPanel(strip, page.width), MARGIN, y, page.width, PANEL.lying);
  }
  await draw(key.shapes, MARGIN, pageTop + keyTop, leftWidth, key.height);
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
  line: { readonly rgb: Rgb; readonly hex: string },
  space: CardSpace,
): Promise<readonly Card[]> {
  const cards: Card[] = [];
  if (task.target) cards.push(targetCard(task.target, task.calibration, space.columnWidth, space.insetWidth));
  const most = { widthPx: INSET.width * space.scale, heightPx: INSET.height * space.scale };
  for (const [i, region] of task.regions.entries()) {
    const marks = region.result?.marks;
    const inset = marks
      ? await drawInset(
          { ...task, calibration },
          { boxPx: region.boxPx, marks, edge: region.result?.edge ?? null },
          line,
          most,
          space.scale,
        )
      : null;
    cards.push(regionCard(region, i + 1, paperUnder(region), inset, space));
  }
  return cards;
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

/** All that people named and the picture says. */
function namesIn({ scanId, paper, regions }: OverlayTask): readonly string[] {
  return [scanId, paper ?? '', ...regions.flatMap(({ id, nib }) => [id, nib ?? ''])];
}

/** What lines on this page cross. */
function coloursUnder(task: OverlayTask): readonly LabValue[] {
  const regions = task.regions.flatMap((r) => [
    colourOf(r.result?.quantities ?? []) ?? [],
    paperUnder(r) ?? [],
    ...(r.result?.strip?.bands.map((b) => b.colour) ?? []),
    r.result?.strip?.profile.lab.toSorted((a, b) => b[0] - a[0])[0] ?? [],
  ]);
  const found = regions.filter((lab): lab is LabValue => lab.length === 3);
  return found.length > 0
    ? found
    : [
        [95, 0, 0],
        [25, 0, 0],
      ];
}
