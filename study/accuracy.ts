/** The headline quantities of whole benches against exact truth: error, and how often truth lies within ± 2u. */
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { labD50 } from '../analysis/colour/lab.ts';
import type { LabValue, Quantity, QuantityName } from '../analysis/quantity.ts';
import type { BenchTruth } from '../sample-scans/generator/bench.ts';
import type { BenchOptions } from '../sample-scans/generator/options.ts';
import { measureBench } from './benchRun.ts';

export interface Row {
  readonly seed: number;
  readonly quantity: QuantityName;
  readonly regions: string;
  readonly value: number | LabValue | null;
  readonly truth: number | LabValue;
  readonly u: number | LabValue | null;
  /** |value − truth|, or ΔE00 for colours; null without a value. */
  readonly error: number | null;
  /** Share of components within ± 2u. */
  readonly covered: number | null;
  /** The same through the target's map, where the value is through the film. */
  readonly byMap: Pick<Row, 'error' | 'covered'> | null;
}

type Truth = {
  readonly quantity: QuantityName;
  readonly regions: readonly string[];
  readonly truth: number | LabValue;
};

export async function accuracyRows(seed: number, options: BenchOptions): Promise<Row[]> {
  const { bench, outcome } = await measureBench(seed, options);
  return rowsOf(bench.truth, outcome.findings);
}

/** Findings beside the truth of the bench that they were measured on. */
export function rowsOf(truth: BenchTruth, findings: readonly Quantity[]): Row[] {
  const rows = truthsOf(truth).map((t) => {
    const found = findings.find((q) => q.quantity === t.quantity && q.subject.regions.join() === t.regions.join());
    return rowOf(truth.seed, t, found);
  });
  return [...rows, ...bandRows(truth, findings)];
}

function truthsOf(bench: BenchTruth): Truth[] {
  const list: Truth[] = [];
  for (const page of Object.values(bench.pages)) {
    for (const [id, region] of Object.entries(page.regions)) {
      const add = (quantity: QuantityName, truth: number | LabValue) => list.push({ quantity, regions: [id], truth });
      if (region.kind === 'paper') add('paperColour', region.paperColour);
      if ('colour' in region && region.colour) add('inkColour', region.colour.inkColour);
      if ('shading' in region && region.shading) {
        add('shading', region.shading.dE00);
        add('shading.dL', region.shading.dL);
        if (region.shading.dHueDeg !== null) add('shading.dHue', region.shading.dHueDeg);
      }
      if ('swabVariation' in region && region.swabVariation) {
        add('swabVariation', region.swabVariation.dE00);
        add('swabVariation.dL', region.swabVariation.dL);
      }
    }
  }
  for (const [a, b, truth] of bench.nibShading) list.push({ quantity: 'nibShading', regions: [a, b], truth });
  for (const { regions, truth } of bench.toneShift) {
    list.push({ quantity: 'toneShift', regions, truth: truth.absolute });
    list.push({ quantity: 'toneShift.adapted', regions, truth: truth.adapted });
    list.push({ quantity: 'toneShift.dL', regions, truth: truth.dL });
  }
  for (const [id, strip] of Object.entries(bench.strips)) {
    list.push({ quantity: 'originRetained', regions: [id.replace('strip-', '')], truth: strip.originRetainedPercent });
  }
  return list;
}

/** Every true band against the found one nearest in R_F. */
function bandRows(bench: BenchTruth, findings: readonly Quantity[]): Row[] {
  return Object.entries(bench.strips).flatMap(([scan, strip]) => {
    const region = scan.replace('strip-', '');
    const of = (quantity: QuantityName) =>
      findings.filter((q) => q.quantity === quantity && q.subject.regions.join() === region);
    const positions = of('bandPosition').filter((q) => q.value !== null);
    return strip.bands.flatMap((band) => {
      const away = (q: Quantity) => (typeof q.value === 'number' ? Math.abs(q.value - band.rf) : Infinity);
      const nearest = positions.toSorted((a, b) => away(a) - away(b))[0];
      const number = nearest?.subject.band;
      const same = (quantity: QuantityName) => of(quantity).find((q) => q.subject.band === number);
      return [
        rowOf(bench.seed, { quantity: 'bandPosition', regions: [region], truth: band.rf }, nearest),
        rowOf(bench.seed, { quantity: 'bandShare', regions: [region], truth: band.sharePercent }, same('bandShare')),
        rowOf(bench.seed, { quantity: 'bandColour', regions: [region], truth: band.lab }, same('bandColour')),
      ];
    });
  });
}

function rowOf(seed: number, t: Truth, found: Quantity | undefined): Row {
  const { quantity, truth } = t;
  const value = found?.value ?? null;
  const u = found?.u ?? null;
  const byMap = found?.byMap ? judged(truth, found.byMap) : null;
  return { seed, quantity, regions: t.regions.join(' '), truth, value, u, ...judged(truth, { value, u }), byMap };
}

function judged(truth: Truth['truth'], { value, u }: Pick<Quantity, 'value' | 'u'>): Pick<Row, 'error' | 'covered'> {
  if (typeof value === 'number' && typeof u === 'number' && typeof truth === 'number') {
    const error = Math.abs(value - truth);
    return { error, covered: error <= 2 * u ? 1 : 0 };
  }
  if (isLab(value) && isLab(u) && isLab(truth)) {
    const within = [0, 1, 2].filter((c) => Math.abs(value[c] - truth[c]) <= 2 * u[c]).length;
    return { error: deltaE2000(labD50(...value), labD50(...truth)), covered: within / 3 };
  }
  return { error: null, covered: null };
}

function isLab(value: Quantity['value']): value is LabValue {
  return typeof value === 'object' && value !== null;
}

/** One figure for a sort: a number, or a colour's three together. */
function sizeOf(u: Row['u']): number {
  return isLab(u) ? Math.hypot(...u) : (u ?? NaN);
}

export interface Summary {
  readonly quantity: string;
  readonly n: number;
  readonly missing: number;
  readonly median: number;
  readonly p90: number;
  readonly largest: number;
  readonly coveredPercent: number;
  readonly medianU: number;
}

export function summarise(rows: readonly Row[]): Summary[] {
  const names = [...new Set(rows.map((r) => r.quantity))];
  return names.map((quantity) => {
    const all = rows.filter((r) => r.quantity === quantity);
    const told = all.filter((r) => r.error !== null);
    const errors = told.map((r) => r.error!).toSorted((a, b) => a - b);
    const us = told.map((r) => sizeOf(r.u)).toSorted((a, b) => a - b);
    const at = (list: readonly number[], p: number) =>
      list[Math.min(list.length - 1, Math.floor(p * list.length))] ?? NaN;
    return {
      quantity,
      n: all.length,
      missing: all.length - told.length,
      median: at(errors, 0.5),
      p90: at(errors, 0.9),
      largest: errors.at(-1) ?? NaN,
      coveredPercent: (100 * told.reduce((sum, r) => sum + r.covered!, 0)) / Math.max(1, told.length),
      medianU: at(us, 0.5),
    };
  });
}
