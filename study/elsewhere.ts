/** A written line as another paper would show it, against the generator's own rendering of the same ink on that paper. */
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../analysis/colour/lab.ts';
import { type DoseSteps, onOtherGround } from '../analysis/measure/opacity/otherGround.ts';
import type { LabValue } from '../analysis/quantity.ts';
import { gaussianSmooth } from '../analysis/raster/gaussian.ts';
import { type DoseTable, doseTable, entryOf, xyzAt } from '../sample-scans/generator/doseTable.ts';
import { drawHand, writeLine } from '../sample-scans/generator/hand.ts';
import { drawInk } from '../sample-scans/generator/ink.ts';
import { emptyField, paintInk } from '../sample-scans/generator/inkField.ts';
import { drawPaper, type PaperClass } from '../sample-scans/generator/paper.ts';
import { drawHabit, layPasses } from '../sample-scans/generator/pen.ts';
import { stream } from '../sample-scans/generator/random.ts';
import { drawScanner } from '../sample-scans/generator/scanner.ts';

const BOX = [0, 0, 26, 10] as const;

export interface Seen {
  /** Interleaved XYZ as a perfect instrument behind the scanner's blur has it, without noise. */
  readonly xyz: Float32Array;
  readonly table: DoseTable;
}

/** One written line, on any paper. */
export function writtenLine(seed: number, dpi = 300): (paper: PaperClass) => Seen {
  const ink = drawInk(seed);
  const scanner = drawScanner(seed);
  const field = emptyField(BOX, dpi);
  const random = stream(seed, 'line');
  const passes = writeLine('Quail', { xMm: 2, baselineMm: 6.5, xHeightMm: 2.8 }, drawHand(seed), random);
  layPasses(field, passes, { name: 'M', widthMm: 0.65, flow: 1.15 * ink.strength }, drawHabit(seed, 'line'), random);
  return (paper) => {
    const table = doseTable(ink, drawPaper(seed, paper, paper).reflectance, scanner);
    const { widthPx, heightPx } = field;
    const data = new Float32Array(3 * widthPx * heightPx);
    for (let i = 0; i < data.length; i += 3) data.set(table.xyz.subarray(0, 3), i);
    const band = { data, widthPx, firstRow: 0, rows: heightPx, pxPerMm: dpi / 25.4 };
    paintInk(band, field, { ...table, signal: Float32Array.from(table.xyz) });
    return { xyz: blurred(data, widthPx, heightPx, (scanner.blurSdMm * dpi) / 25.4), table };
  };
}

function blurred(data: Float32Array, widthPx: number, heightPx: number, sdPx: number): Float32Array {
  const out = new Float32Array(data.length);
  for (let c = 0; c < 3; c++) {
    const channel = Float32Array.from({ length: data.length / 3 }, (_, i) => data[3 * i + c]);
    gaussianSmooth(channel, widthPx, heightPx, sdPx).forEach((v, i) => {
      out[3 * i + c] = v;
    });
  }
  return out;
}

/** As a fit tells them: thirty doses and bare paper. */
export function stepsBetween(from: DoseTable, to: DoseTable): DoseSteps {
  const doses = [0, ...Array.from({ length: 30 }, (_, i) => 0.05 * 160 ** (i / 29))];
  const labs = (table: DoseTable): LabValue[] =>
    doses.map((dose) => {
      const [L, a, b] = xyzToLab(xyzAt(table, entryOf(table, dose)));
      return [L, a, b];
    });
  return { from: labs(from), to: labs(to) };
}

export function labAt(xyz: Float32Array, i: number): LabD50 {
  return xyzToLab([xyz[i], xyz[i + 1], xyz[i + 2]]);
}

/** ΔE00 of every pixel that differs from bare paper by more than 5 ΔL*. */
export function errorsOfInk(got: Float32Array, { xyz: truth, table }: Seen): number[] {
  const paperL = xyzToLab(xyzAt(table, 0))[0];
  const errors: number[] = [];
  for (let i = 0; i < truth.length; i += 3) {
    const there = labAt(truth, i);
    if (paperL - there[0] >= 5) errors.push(deltaE2000(labAt(got, i), there));
  }
  return errors;
}

export function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / Math.max(1, values.length);
}

const WAYS: readonly (readonly [from: PaperClass, to: PaperClass])[] = [
  ['brightWhite', 'yellow'],
  ['yellow', 'brightWhite'],
  ['brightWhite', 'ivory'],
  ['brightWhite', 'green'],
  ['green', 'grey'],
];

/** A page of docs/study: means over all inks of each way, and the worst of them. */
export function elsewherePage(seeds: number, first: number): string {
  const rows = WAYS.map(([from, to]) => {
    const inks = Array.from({ length: seeds }, (_, i) => {
      const on = writtenLine(first + i);
      const [here, there] = [on(from), on(to)];
      const got = here.xyz.slice();
      onOtherGround(stepsBetween(here.table, there.table))(got);
      const errors = errorsOfInk(got, there).toSorted((a, b) => a - b);
      return {
        mean: mean(errors),
        most: errors[Math.floor(0.95 * errors.length)],
        asItWas: mean(errorsOfInk(here.xyz, there)),
      };
    });
    const of = (key: 'mean' | 'most' | 'asItWas'): number[] => inks.map((one) => one[key]);
    const figures = [mean(of('mean')), Math.max(...of('mean')), mean(of('most')), mean(of('asItWas'))];
    return `| ${[from, to, ...figures.map((v) => v.toFixed(2))].join(' | ')} |`;
  });
  return `# Writing on another paper

A written line as \`analysis/measure/opacity/otherGround.ts\` shows it on another paper, against what the generator renders of the same ink there, pixel by pixel behind the
scanner's blur, over ${seeds} inks (seeds ${first}–${first + seeds - 1}). The ink's colours on both papers are given exactly, so that this is the error of the way itself; what a
prediction is off by comes on top. Pixels of ink alone (5 ΔL* and more from bare paper), ΔE00.

| from | to | mean | worst ink's mean | 95th percentile | left as it was |
| ---- | -- | ---: | ---------------: | --------------: | -------------: |
${rows.join('\n')}
`;
}
