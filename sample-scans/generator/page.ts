/** A written page: ink fields of every block and swab, the scene that shows them, and their truth. */
import type { Scene, Placement } from './scene.ts';
import { boxInScan, paintLid, toScan } from './scene.ts';
import type { DoseTable } from './doseTable.ts';
import { drawHand, lineWidthMm, writeLine } from './hand.ts';
import type { Hand, Pass } from './hand.ts';
import { emptyField, paintInk } from './inkField.ts';
import type { InkField } from './inkField.ts';
import { strokeTruth, swabTruth } from './inkTruth.ts';
import type { InkColourTruth, Lab, ShadingTruth } from './inkTruth.ts';
import { PANGRAM, REACH_DOWN, REACH_UP } from './pagePlan.ts';
import type { NibPlan, PagePlan } from './pagePlan.ts';
import { drawHabit, layPasses } from './pen.ts';
import type { PenHabit } from './pen.ts';
import { stream } from './random.ts';
import type { Triple } from './scanner.ts';
import { paintPaper } from './sheetOfPaper.ts';
import type { SheetOfPaper } from './sheetOfPaper.ts';
import { drawSwabHabit, laySwab } from './swab.ts';
import type { SwabPlan } from './swab.ts';

export type BoxMm = [number, number, number, number];

export interface PageRegion {
  readonly id: string;
  readonly kind: 'paper' | 'strokes' | 'swab';
  readonly boxMm: BoxMm;
  readonly nib?: string;
  readonly nibWidthMm?: number;
}

export interface RegionTruth {
  readonly kind: PageRegion['kind'];
  readonly paperColour: Lab;
  readonly colour?: InkColourTruth;
  readonly shading?: ShadingTruth;
  readonly swabVariation?: ShadingTruth;
  readonly steps?: readonly SwabStep[];
}

/** One of the equal parts of a graded swab, across the whole breadth of its interior. */
export interface SwabStep {
  readonly boxMm: BoxMm;
  readonly dose: number;
  readonly lab: Lab;
}

export interface WrittenPage {
  readonly regions: readonly PageRegion[];
  readonly fields: ReadonlyMap<string, InkField>;
}

export interface PageSetting {
  readonly seed: number;
  readonly handSeed: number;
  readonly plan: PagePlan;
  readonly place: Placement;
  readonly dpi: number;
  readonly inkName: string;
  /** Ink.strength: factor on every dose. */
  readonly strength: number;
}

/** Space around the ink of a region, mm; bare paper for whoever measures. */
const AROUND_MM = 2;

export function writePage(setting: PageSetting): WrittenPage {
  const { plan, place, dpi, seed } = setting;
  const hand = drawHand(setting.handSeed);
  const habit = drawHabit(seed, plan.id);
  const fields = new Map<string, InkField>();
  const regions: PageRegion[] = [
    { id: `bare-${plan.id}`, kind: 'paper', boxMm: rounded(boxInScan(place, plan.bareMm)) },
  ];
  const flow = stream(seed, `flow/${plan.id}`);
  for (const nib of plan.nibs) {
    const id = blockId(nib, plan);
    const box = rounded(boxInScan(place, blockBox(nib, plan)));
    const field = emptyField(box, dpi);
    const wetness = setting.strength * flow.logNormal(1, 0.08);
    layBlock(field, blockText(nib, setting, hand), { ...nib, flow: nib.flow * wetness }, habit, hand, setting, id);
    fields.set(id, field);
    regions.push({ id, kind: 'strokes', boxMm: box, nib: nib.name, nibWidthMm: nib.widthMm });
  }
  for (const [name, swab] of [
    ['even', plan.even],
    ['graded', plan.graded],
  ] as const) {
    const id = `swab-${name}-${plan.id}`;
    const wetness = setting.strength * flow.logNormal(1, 0.08);
    const box = rounded(boxInScan(place, grown(swab.boxMm, AROUND_MM)));
    const field = emptyField(box, dpi);
    const wetted: SwabPlan = { ...swab, doseFrom: swab.doseFrom * wetness, doseTo: swab.doseTo * wetness };
    laySwab(field, wetted, drawSwabHabit(seed, id), place, stream(seed, `swab/${id}/field`));
    fields.set(id, field);
    regions.push({ id, kind: 'swab', boxMm: box });
  }
  return { regions, fields };
}

export function blockId(nib: NibPlan, plan: PagePlan): string {
  return `${nib.name.toLowerCase()}-${plan.id}`;
}

/** What a dose in a region looks like. */
type TableOf = (region: string) => DoseTable;

/** @param lid signal of the lid around the sheet. */
export function pageScene(
  size: readonly [widthMm: number, heightMm: number],
  lid: Triple,
  sheet: SheetOfPaper,
  page: WrittenPage,
  tableOf: TableOf,
  metal?: Triple,
): Scene {
  return {
    widthMm: size[0],
    heightMm: size[1],
    paint: (band) => {
      paintLid(band, lid);
      paintPaper(band, sheet);
      for (const [region, field] of page.fields) paintInk(band, field, tableOf(region), metal);
    },
  };
}

export function pageTruth(page: WrittenPage, tableOf: TableOf, paper: Lab): Record<string, RegionTruth> {
  const truth: Record<string, RegionTruth> = {};
  for (const region of page.regions) {
    const field = page.fields.get(region.id);
    const table = tableOf(region.id);
    if (!field) truth[region.id] = { kind: region.kind, paperColour: paper };
    else if (region.kind === 'strokes') {
      truth[region.id] = { kind: 'strokes', paperColour: paper, ...strokeTruth(field, table) };
    } else {
      const { colour, variation } = swabTruth(field, table);
      const graded = region.id.startsWith('swab-graded');
      truth[region.id] = {
        kind: 'swab',
        paperColour: paper,
        colour,
        swabVariation: variation,
        ...(graded ? { steps: swabSteps(field, table, region.boxMm) } : {}),
      };
    }
  }
  return truth;
}

function swabSteps(field: InkField, table: DoseTable, box: BoxMm): SwabStep[] {
  const count = 12;
  const fineWidth = field.widthPx * field.factor;
  const from = AROUND_MM + 3;
  const step = (box[2] - 2 * from) / count;
  return Array.from({ length: count }, (_, n) => {
    const leftMm = box[0] + from + n * step;
    const left = Math.round(leftMm * field.finePerMm) - field.x0Px * field.factor;
    const right = Math.round((leftMm + step) * field.finePerMm) - field.x0Px * field.factor;
    const interior = new Uint8Array(field.interior.length);
    let dose = 0;
    let cells = 0;
    for (let i = 0; i < interior.length; i++) {
      const x = i % fineWidth;
      if (x < left || x >= right || field.interior[i] === 0) continue;
      interior[i] = 1;
      dose += field.dose[i];
      cells++;
    }
    const part = swabColourOf({ ...field, interior }, table);
    return { boxMm: [leftMm, box[1] + from, step, box[3] - 2 * from], dose: dose / cells, lab: part };
  });
}

function swabColourOf(field: InkField, table: DoseTable): Lab {
  return strokeTruth(field, table).colour.inkColour;
}

function blockBox(nib: NibPlan, plan: PagePlan): BoxMm {
  const top = nib.baselinesMm[0] - REACH_UP * nib.xHeightMm - AROUND_MM;
  const bottom = nib.baselinesMm[nib.baselinesMm.length - 1] + REACH_DOWN * nib.xHeightMm + AROUND_MM;
  return [plan.marginMm - 4, top, plan.rightMm - plan.marginMm + 8, bottom - top];
}

/** Lines that fill the block: the ink's name and the nib first, then the pangram, begun anew when it ends. */
function blockText(nib: NibPlan, setting: PageSetting, hand: Hand): string[] {
  const room = setting.plan.rightMm - setting.plan.marginMm;
  const words = `Nib ${nib.name}, ${setting.inkName}. ${PANGRAM} ${PANGRAM} ${PANGRAM} ${PANGRAM}`.split(' ');
  return nib.baselinesMm.map(() => {
    let line = words.shift() ?? '';
    while (words.length > 0 && lineWidthMm(`${line} ${words[0]}`, nib.xHeightMm, hand) < room)
      line += ` ${words.shift()}`;
    return line;
  });
}

function layBlock(
  field: InkField,
  lines: readonly string[],
  nib: NibPlan,
  habit: PenHabit,
  hand: Hand,
  setting: PageSetting,
  id: string,
): void {
  const writing = stream(setting.handSeed, `writing/${id}`);
  const passes = lines.flatMap((text, n) =>
    writeLine(
      text,
      {
        xMm: setting.plan.marginMm + writing.range(-0.6, 0.6),
        baselineMm: nib.baselinesMm[n],
        xHeightMm: nib.xHeightMm,
      },
      hand,
      writing,
    ),
  );
  layPasses(field, onGlass(passes, setting.place), nib, habit, stream(setting.seed, `pen/${id}`));
}

function onGlass(passes: readonly Pass[], place: Placement): Pass[] {
  return passes.map((pass) => {
    const x = new Float64Array(pass.x.length);
    const y = new Float64Array(pass.y.length);
    for (let i = 0; i < x.length; i++) [x[i], y[i]] = toScan(place, [pass.x[i], pass.y[i]]);
    return { x, y, endsWord: pass.endsWord };
  });
}

function grown(box: readonly [number, number, number, number], by: number): BoxMm {
  return [box[0] - by, box[1] - by, box[2] + 2 * by, box[3] + 2 * by];
}

/** To a tenth of a millimetre, as a person would give a box. */
function rounded(box: readonly [number, number, number, number]): BoxMm {
  const left = Math.floor(box[0] * 10) / 10;
  const top = Math.floor(box[1] * 10) / 10;
  return [left, top, Math.ceil((box[0] + box[2] - left) * 10) / 10, Math.ceil((box[1] + box[3] - top) * 10) / 10];
}
