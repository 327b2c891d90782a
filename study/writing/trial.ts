/** One page of writing measured as the command line does it, beside the truth and beside what the target's map makes of exact signals. */
import { type CompiledCalibration, compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { gainRow } from '../../analysis/calibrate/flatField.ts';
import { curveFunction } from '../../analysis/calibrate/toneCurve.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type LabD50, labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import type { LabValue, Quantity, QuantityName } from '../../analysis/quantity.ts';
import type { Bench } from '../../sample-scans/generator/bench.ts';
import { type DoseTable, doseTable, entryOf, xyzAt } from '../../sample-scans/generator/doseTable.ts';
import { drawInk } from '../../sample-scans/generator/ink.ts';
import type { InkField } from '../../sample-scans/generator/inkField.ts';
import type { BenchOptions } from '../../sample-scans/generator/options.ts';
import { drawPaper } from '../../sample-scans/generator/paper.ts';
import { drawScanner, lightAt, toneValue } from '../../sample-scans/generator/scanner.ts';
import { triple } from '../../analysis/triple.ts';
import { measureBench } from '../benchRun.ts';

/** What a bench was drawn from. */
type Setting = Pick<Bench, 'seed' | 'options'>;

export interface Figure {
  readonly seed: number;
  readonly region: string;
  /** A quantity, or 'inkColour beside its map': against what the map makes of the exact signals. */
  readonly what: string;
  /** |value − truth|, ΔE00 for colours; null without a value. */
  readonly error: number | null;
  /** Share of components within ± 2u; null where no u belongs to the figure. */
  readonly covered: number | null;
}

export async function writingFigures(seed: number, options: BenchOptions): Promise<Figure[]> {
  const { bench, outcome } = await measureBench(seed, options);
  const eye = throughMap(bench, compileCalibration(outcome.calibration));
  const found = (quantity: QuantityName, region: string): Quantity | undefined =>
    outcome.findings.find((q) => q.quantity === quantity && q.subject.regions.join() === region);
  return Object.entries(bench.truth.pages.white.regions).flatMap(([region, truth]): Figure[] => {
    const of = (quantity: QuantityName, value: number | LabValue) =>
      figure(seed, region, quantity, found(quantity, region), value);
    const figures: Figure[] = [];
    if (truth.colour) {
      const colour = found('inkColour', region)?.value;
      figures.push(of('inkColour', truth.colour.inkColour));
      figures.push(of('inkDensity', Math.log10(paperY(bench) / truth.colour.xyz[1])));
      const mapped = eye(region);
      const told = typeof colour === 'object' && colour !== null;
      const beside = told ? deltaE2000(labD50(...colour), mapped) : null;
      figures.push({ seed, region, what: 'inkColour beside its map', error: beside, covered: null });
      const map = deltaE2000(mapped, labD50(...truth.colour.inkColour));
      figures.push({ seed, region, what: 'the map on exact signals', error: map, covered: null });
    }
    const layered = layeringTruth(bench, region);
    if (truth.kind === 'strokes' && layered !== null) {
      figures.push(of('layering', layered));
      const value = found('layering', region)?.value;
      const mapped = deltaE2000(eye(region, 1), eye(region, 2));
      const error = typeof value === 'number' ? Math.abs(value - mapped) : null;
      figures.push({ seed, region, what: 'layering beside its map', error, covered: null });
    }
    if (truth.shading) figures.push(of('shading', truth.shading.dE00), of('shading.dL', truth.shading.dL));
    if (truth.swabVariation) {
      figures.push(of('swabVariation', truth.swabVariation.dE00), of('swabVariation.dL', truth.swabVariation.dL));
    }
    return figures;
  });
}

export function figure(
  seed: number,
  region: string,
  what: string,
  found: Quantity | undefined,
  truth: number | LabValue,
): Figure {
  const { value = null, u = null } = found ?? {};
  if (typeof value === 'number' && typeof truth === 'number' && typeof u === 'number') {
    const error = Math.abs(value - truth);
    return { seed, region, what, error, covered: error <= 2 * u ? 1 : 0 };
  }
  if (typeof value === 'object' && value && typeof truth === 'object' && typeof u === 'object' && u) {
    const within = [0, 1, 2].filter((c) => Math.abs(value[c] - truth[c]) <= 2 * u[c]).length;
    return { seed, region, what, error: deltaE2000(labD50(...value), labD50(...truth)), covered: within / 3 };
  }
  return { seed, region, what, error: null, covered: null };
}

/** Cells that exactly two passes cover, each with its interior, against one pass; null where hardly any cell is such. */
export function layeringTruth({ fields, ...bench }: Bench, region: string): number | null {
  const field = fields.get(region);
  const single = bench.truth.pages.white.regions[region].colour;
  if (!field?.within || !single) return null;
  const table = tableOf(bench);
  const sum = [0, 0, 0];
  let cells = 0;
  for (let i = 0; i < field.dose.length; i++) {
    if (field.layers[i] !== 2 || field.within[i] !== 2) continue;
    const xyz = xyzAt(table, entryOf(table, field.dose[i]));
    for (let k = 0; k < 3; k++) sum[k] += xyz[k];
    cells++;
  }
  // A tenth of a square millimetre: a few crossings of a fine nib.
  if (cells < 0.1 * field.finePerMm ** 2) return null;
  return deltaE2000(xyzToLab(triple((k) => sum[k] / cells)), labD50(...single.inkColour));
}

function paperY(bench: Setting): number {
  return tableOf(bench).xyz[1];
}

function tableOf({ seed, options }: Setting): DoseTable {
  const ink = drawInk(options.inkSeed ?? seed, options.inkKind === undefined ? {} : { kind: options.inkKind });
  const paper = drawPaper(options.paperSeed ?? seed, options.whitePaper, 'white');
  return doseTable(ink, paper.reflectance, drawScanner(options.scannerSeed ?? seed));
}

/** The mean colour of a region's interior as the target's map tells it from signals without blur, noise or fibres. */
function throughMap(bench: Bench, c: CompiledCalibration): (region: string, layers?: 1 | 2) => LabD50 {
  const table = tableOf(bench);
  const scanner = drawScanner(bench.options.scannerSeed ?? bench.seed);
  const curves = c.calibration.curves.map(curveFunction);
  return (region, layers = 1) => {
    const [x, y, w, h] = bench.sheet.regions.find(({ id }) => id === region)!.boxMm;
    const at = [x + w / 2, y + h / 2] as const;
    const gain = Float64Array.of(1, 1, 1);
    if (c.calibration.flatField) gainRow(c.calibration.flatField, [at[0], at[1]], 1, 1, gain);
    const entries = entriesOf(bench.fields.get(region)!, table, layers);
    const sum = [0, 0, 0];
    let cells = 0;
    entries.forEach((count, entry) => {
      if (count === 0) return;
      const signal = triple((k) => {
        const light = table.signal[3 * entry + k] * lightAt(scanner.light, k, at[0], at[1]);
        const seen = (light + scanner.flare[k]) / (1 + scanner.flare[k]);
        return curves[k](toneValue(scanner.tone[k], seen)) * gain[k];
      });
      const xyz = signalToXyz(signal, c);
      for (let k = 0; k < 3; k++) sum[k] += count * xyz[k];
      cells += count;
    });
    return xyzToLab(triple((k) => sum[k] / cells));
  };
}

function entriesOf(field: InkField, table: DoseTable, layers: 1 | 2): Float64Array {
  const counts = new Float64Array(table.last + 1);
  for (let i = 0; i < field.dose.length; i++) {
    const counted = layers === 1 ? field.interior[i] === 1 : field.within?.[i] === 2;
    if (counted && field.layers[i] === layers) counts[Math.round(entryOf(table, field.dose[i]))]++;
  }
  return counts;
}
