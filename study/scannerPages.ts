/** Pages of swabs with their truth: white, ivory and coloured papers without brightener, four inks (two of the sample scans' kind, two of real dyes), an even and a graded swab each. */
import { xyzToLab } from '../analysis/colour/lab.ts';
import type { LabValue } from '../analysis/quantity.ts';
import type { DeviceRaster } from '../analysis/raster/raster.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { doseTable } from '../sample-scans/generator/doseTable.ts';
import { expose } from '../sample-scans/generator/expose.ts';
import { drawInk, type Ink } from '../sample-scans/generator/ink.ts';
import { emptyField, type InkField, paintInk } from '../sample-scans/generator/inkField.ts';
import { swabTruth } from '../sample-scans/generator/inkTruth.ts';
import { BENCH_DEFAULTS } from '../sample-scans/generator/options.ts';
import { drawPaper, type Paper } from '../sample-scans/generator/paper.ts';
import { stream } from '../sample-scans/generator/random.ts';
import { drawScanner, toSignal, type Scanner, type Triple } from '../sample-scans/generator/scanner.ts';
import { paintLid, type Placement } from '../sample-scans/generator/scene.ts';
import { layPaper, paintPaper } from '../sample-scans/generator/sheetOfPaper.ts';
import { toXyz } from '../sample-scans/generator/spectra.ts';
import { drawSwabHabit, laySwab, type SwabPlan } from '../sample-scans/generator/swab.ts';
import { realDyes } from './realDyes.ts';
import { mixDyes } from './simulatedColours.ts';

export const PAGE_DPI = 150;
/** Kinds of ink, from top to bottom. */
export const PAGE_INKS = ['sample ink', 'real dyes', 'sample ink', 'real dyes'] as const;
export const BARE_MM = [12, 114, 72, 24] as const;
const WIDTH_MM = 105;
const HEIGHT_MM = 148;
const ROWS_MM = [10, 35, 60, 85];
const AROUND_MM = 2;
const dyes = realDyes();

export interface PageSwab {
  readonly id: string;
  /** Which of the page's inks, from 0. */
  readonly row: number;
  readonly ink: Ink;
  readonly field: InkField;
  readonly box: readonly number[];
  /** What a perfect instrument would find: the same whichever scanner looks. */
  readonly truth: LabValue;
  /** ΔE00 between its light and its dark parts, `swabVariation`. */
  readonly variation: number;
}

export interface SwabPage {
  readonly id: string;
  readonly paper: Paper;
  /** Lab of the bare paper. */
  readonly bare: LabValue;
  readonly swabs: readonly PageSwab[];
}

export function drawPages(seed: number): SwabPage[] {
  const inks = PAGE_INKS.map((kind, n) => (kind === 'sample ink' ? drawInk(100 * seed + n) : dyeInk(100 * seed + n)));
  const coloured = (['yellow', 'green', 'grey'] as const)[seed % 3];
  return (['brightWhite', 'ivory', coloured] as const).map((kind, p): SwabPage => {
    const id = ['white', 'ivory', 'coloured'][p];
    const paper = drawPaper(seed, kind, id);
    const flow = stream(seed, `flow/${id}`);
    const swabs = ROWS_MM.flatMap((top, n) =>
      (
        [
          ['even', { boxMm: [9, top, 31, 12], doseFrom: 1.25, doseTo: 1.15 }],
          ['graded', { boxMm: [46, top, 50, 12], doseFrom: 0.3, doseTo: 2.4 }],
        ] as const
      ).map(([way, plan]) => {
        const region = `${way}-${n}-${id}`;
        const [x, y, w, h] = plan.boxMm;
        const box = [x - AROUND_MM, y - AROUND_MM, w + 2 * AROUND_MM, h + 2 * AROUND_MM] as const;
        const field = emptyField(box, PAGE_DPI);
        const wet = inks[n].strength * flow.logNormal(1, 0.08);
        const wetted: SwabPlan = { ...plan, doseFrom: plan.doseFrom * wet, doseTo: plan.doseTo * wet };
        laySwab(field, wetted, drawSwabHabit(seed, region), PLACE, stream(seed, `swab/${region}`));
        const { colour, variation } = swabTruth(field, doseTable(inks[n], paper.reflectance, drawScanner(1)));
        return {
          id: region,
          row: n,
          ink: inks[n],
          field,
          box: [...box],
          truth: colour.inkColour,
          variation: variation.dE00,
        };
      }),
    );
    return { id, paper, bare: xyzToLab(toXyz(paper.reflectance)), swabs };
  });
}

const PLACE: Placement = {
  widthMm: WIDTH_MM,
  heightMm: HEIGHT_MM,
  centreMm: [WIDTH_MM / 2, HEIGHT_MM / 2],
  angleDeg: 0,
};

function dyeInk(seed: number): Ink {
  const random = seededRandom(seed);
  return {
    kind: 'real dyes',
    dyes: [],
    absorption: Float64Array.from(mixDyes(dyes, random)),
    scatter: 0.02 * Math.exp(0.6 * normal(random)),
    strength: 1.3 * Math.exp(0.25 * normal(random)),
  };
}

/** The page as this scanner gives it. */
export function renderPage(page: SwabPage, seed: number, n: number, scanner: Scanner, lid: Triple): DeviceRaster {
  const { paper, swabs } = page;
  const tables = swabs.map(({ ink }) => doseTable(ink, paper.reflectance, scanner));
  const sheet = layPaper(seed, page.id, paper, toSignal(scanner, paper.reflectance), PLACE, 1);
  return expose(
    {
      widthMm: WIDTH_MM + 1,
      heightMm: HEIGHT_MM + 1,
      paint: (band) => {
        paintLid(band, lid);
        paintPaper(band, sheet);
        swabs.forEach(({ field }, i) => paintInk(band, field, tables[i]));
      },
    },
    scanner,
    { ...BENCH_DEFAULTS, dpi: PAGE_DPI },
    stream(10 * seed + n, `noise/${page.id}`),
  );
}
