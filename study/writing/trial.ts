/** One page of writing measured as the command line does it, beside the truth and beside what the target's map makes of exact signals. */
import { type CompiledCalibration, compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { gainRow } from '../../analysis/calibrate/flatField.ts';
import { curveFunction } from '../../analysis/calibrate/toneCurve.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type LabD50, labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import type { LabValue, Quantity, QuantityName } from '../../analysis/quantity.ts';
import type { Bench } from '../../sample-scans/generator/bench.ts';
import { type DoseTable, doseTable, entryOf, xyzAt } from '../../sample-scans/generator/doseTable.ts';
import { drawInk, type Ink, mixedInk } from '../../sample-scans/generator/ink.ts';
import type { InkField } from '../../sample-scans/generator/inkField.ts';
import { drawPaper } from '../../sample-scans/generator/paper.ts';
import { drawScanner, lightAt, toneValue } from '../../sample-scans/generator/scanner.ts';
import { drawSheen, type Sheen, sheenTruth } from '../../sample-scans/generator/sheen.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { pathDistances } from '../../analysis/measure/pathDistance.ts';
import { triple } from '../../analysis/triple.ts';
import { sampleOf } from '../../electron/jobs/pathFindings.ts';
import type { RegionResult } from '../../electron/jobs/tasks.ts';
import { measureBench } from '../benchRun.ts';
import { claimFigures } from './claims.ts';
import { mixedNib, otherInk, pageOf, trialOptions } from './worlds.ts';

/** What a bench was drawn from. */
type Setting = Pick<Bench, 'seed' | 'options'>;

export interface Figure {
  readonly seed: number;
  readonly region: string;
  /** A quantity, or what else is told of the page. */
  readonly what: string;
  /** |value − truth|, ΔE00 for colours; of a flag 1 where it was raised and 0 where not; null without a value. */
  readonly error: number | null;
  /** Share of components within ± 2u; null where no u belongs to the figure. */
  readonly covered: number | null;
  readonly value?: number | null;
  readonly truth?: number;
  readonly u?: number | null;
}

export async function writingFigures(seed: number): Promise<Figure[]> {
  const results: RegionResult[] = [];
  const { bench, outcome } = await measureBench(seed, trialOptions(seed), { onRegion: (r) => results.push(r) });
  // A film that fails as a whole leaves the map's figures in its place, and nothing here would show it.
  if (outcome.films.length === 0) throw new Error(`${seed}: ${outcome.problems.map((p) => p.message).join('; ')}`);
  const page = pageOf(seed);
  const map = compileCalibration(outcome.calibration);
  const eye = throughMap(bench, map);
  const other = otherInk(seed);
  const odd = other ? `${mixedNib(seed).toLowerCase()}-white` : null;
  const regions = Object.entries(bench.truth.pages.white.regions).filter(([, { kind }]) => kind !== 'paper');
  return regions
    .flatMap(([region, truth]): Figure[] => {
      const found = (quantity: QuantityName): Quantity | undefined =>
        outcome.findings.find((q) => q.quantity === quantity && q.subject.regions.join() === region);
      const of = (quantity: QuantityName, value: number | LabValue): Figure =>
        figure(seed, region, quantity, found(quantity), value);
      const plain = (what: string, error: number | null): Figure => ({ seed, region, what, error, covered: null });
      const sheen = found('sheen');
      if (page === 'sheen') {
        const true_ = 100 * sheenTruth(bench.fields.get(region)!, tableOf(bench), sheenOf(bench));
        const away = found('pathDistance');
        const isOdd = away?.flags.includes('another-ink') ? 1 : 0;
        return [
          { ...of('sheen', true_), truth: true_, value: numberOf(sheen) },
          { ...plain('the ink itself, with sheen', away?.value == null ? null : isOdd), value: numberOf(away) },
        ];
      }
      const away = found('pathDistance');
      const isOdd = away?.flags.includes('another-ink') ? 1 : 0;
      if (region === odd && other) {
        const what = page === 'rinse' ? 'a pen with rinse water of another ink' : 'a pen that held another ink';
        const told = plain(what, away?.value == null ? null : isOdd);
        return [{ ...told, value: numberOf(away), truth: distanceOff(bench, region, mixedInk(inkOf(bench), other)) }];
      }
      const figures: Figure[] = [
        { ...plain('no sheen', numberOf(sheen)), value: numberOf(sheen) },
        { ...plain('the ink itself', away?.value == null ? null : isOdd), value: numberOf(away) },
      ];
      if (truth.colour) {
        const ink = found('inkColour');
        const colour = (ink?.byMap ?? ink)?.value;
        const mapped = eye(region);
        const told = typeof colour === 'object' && colour !== null;
        figures.push(
          of('inkColour', truth.colour.inkColour),
          of('inkDensity', Math.log10(paperY(bench) / truth.colour.xyz[1])),
        );
        figures.push(
          plain(
            'inkColour by the map alone, against what the map makes of exact signals',
            told ? deltaE2000(labD50(...colour), mapped) : null,
          ),
        );
        figures.push(plain('the map on exact signals', deltaE2000(mapped, labD50(...truth.colour.inkColour))));
      }
      const layered = layeringTruth(bench, region);
      if (truth.kind === 'strokes' && layered !== null) figures.push(of('layering', layered));
      if (truth.shading) figures.push(of('shading', truth.shading.dE00), of('shading.dL', truth.shading.dL));
      if (truth.swabVariation) {
        figures.push(of('swabVariation', truth.swabVariation.dE00), of('swabVariation.dL', truth.swabVariation.dL));
      }
      return figures;
    })
    .concat(page === 'plain' ? muddied(bench, results, outcome.calibration) : [])
    .concat(page === 'sheen' ? [] : claimFigures(bench, outcome.findings, odd));
}

/** How far a region's mean colour, written with another ink in the pen, lies off all that the ink itself can look like (ΔE00). */
function distanceOff(bench: Bench, region: string, mixed: Ink): number {
  const own = tableOf(bench);
  const other = doseTable(
    mixed,
    drawPaper(bench.options.paperSeed ?? bench.seed, bench.options.whitePaper, 'white').reflectance,
    drawScanner(bench.options.scannerSeed ?? bench.seed),
  );
  const sum = [0, 0, 0];
  let cells = 0;
  entriesOf(bench.fields.get(region)!, other, 1).forEach((count, entry) => {
    if (count === 0) return;
    const xyz = xyzAt(other, entry);
    for (let k = 0; k < 3; k++) sum[k] += count * xyz[k];
    cells += count;
  });
  const lab = xyzToLab(triple((k) => sum[k] / cells));
  let least = Infinity;
  for (let entry = 0; entry <= own.last; entry++) least = Math.min(least, deltaE2000(xyzToLab(xyzAt(own, entry)), lab));
  return least;
}

function numberOf(q: Quantity | undefined): number | null {
  return typeof q?.value === 'number' ? q.value : null;
}

function sheenOf({ seed, options }: Bench): Sheen {
  return drawSheen(seed, inkOf({ seed, options }), drawScanner(options.scannerSeed ?? seed), options.sheen ?? 0);
}

const SHARES = [0.05, 0.1, 0.2] as const;

/** Each written sample in turn as it would look had its pen held some of another ink: the measured colours times what that does to the exact ones. */
function muddied(bench: Bench, results: readonly RegionResult[], calibration: Calibration): Figure[] {
  const samples = results.flatMap((result) => sampleOf(result, calibration));
  const table = tableOf(bench);
  const { seed, options } = bench;
  const ground = drawPaper(options.paperSeed ?? seed, options.whitePaper, 'white').reflectance;
  const scanner = drawScanner(options.scannerSeed ?? seed);
  return SHARES.flatMap((share) =>
    samples.flatMap((sample, k): Figure[] => {
      if (sample.region.startsWith('swab')) return [];
      const dirty = mixedInk(inkOf(bench), { inkSeed: seed + 700 + k, share });
      const mixed = doseTable(dirty, ground, scanner);
      const colours = sample.colours.map((colour) => {
        const entry = nearestEntry(table, colour.xyz);
        const [own, other] = [xyzAt(table, entry), xyzAt(mixed, entry)];
        return { ...colour, xyz: triple((c) => (colour.xyz[c] * other[c]) / own[c]) };
      });
      const away = pathDistances(
        samples.map((s) => (s === sample ? { ...s, colours } : s)),
        calibration,
      )[k];
      const caught = away.flags.includes('another-ink') ? 1 : 0;
      return [
        {
          seed,
          region: sample.region,
          what: `${share * 100} % of another ink, worked into the measured colours`,
          error: away.value === null ? null : caught,
          covered: null,
          value: numberOf(away),
          truth: distanceOff(bench, sample.region, dirty),
        },
      ];
    }),
  );
}

function nearestEntry(table: DoseTable, xyz: readonly [number, number, number]): number {
  let best = 0;
  let least = Infinity;
  for (let entry = 0; entry <= table.last; entry += 4) {
    const own = xyzAt(table, entry);
    const d = Math.hypot(...own.map((v, c) => Math.log(Math.max(1e-4, v) / Math.max(1e-4, xyz[c]))));
    if (d < least) [least, best] = [d, entry];
  }
  return best;
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
    return { seed, region, what, error, covered: error <= 2 * u ? 1 : 0, u };
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

function inkOf({ seed, options }: Setting): Ink {
  return drawInk(options.inkSeed ?? seed, options.inkKind === undefined ? {} : { kind: options.inkKind });
}

function tableOf(setting: Setting): DoseTable {
  const { seed, options } = setting;
  const paper = drawPaper(options.paperSeed ?? seed, options.whitePaper, 'white');
  return doseTable(inkOf(setting), paper.reflectance, drawScanner(options.scannerSeed ?? seed));
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
