/** Seeded strips with known truth: dyes, sorption, spot, paper and flaws all vary. */
import { seededRandom } from '../../analysis/seededRandom.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { density, drawStrip, givenDistances, PLAIN_LOOK, type StripLook, type Travel } from './drawStrip.ts';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { xyzToLab, type LabD50 } from '../../analysis/colour/lab.ts';
import { signalUnder, visualDensity } from '../../analysis/measure/strip/visualDensity.ts';
import { apexMm, baseMm, simulateRun, widthMm, type Dye } from './simulateRun.ts';

type Triple = readonly [number, number, number];

export interface TrueBand {
  readonly rF: number;
  /** Full width at half height of the dye's visual density. */
  readonly widthMm: number;
  /** Between the tangents of its flanks. */
  readonly baseMm: number;
  /** Trailing over leading half-width at a tenth. */
  readonly tail: number;
  /** The dye alone at its apex on the strip's paper, device read as sRGB. */
  readonly lab: LabD50;
  /** Of ∫ visual density of all dyes alone and of the origin alone. */
  readonly sharePercent: number;
}

export interface TrueStrip {
  readonly raster: LinearRaster;
  readonly look: StripLook;
  readonly originMm: number;
  readonly frontMm: number;
  /** By R_F. */
  readonly bands: readonly TrueBand[];
  /** Dyes that lie over each other, as the one band that they make; by their numbers in `bands`. */
  readonly together: (dyes: readonly number[]) => Omit<TrueBand, 'lab'>;
  readonly originRetainedPercent: number;
  /** Smallest R_s between neighbours by half-height widths, and between the origin's spot and the first band. */
  readonly leastResolution: number;
}

export interface RandomOptions {
  readonly dyes?: number;
  readonly sorption?: 'linear' | 'tailing' | 'mixed';
  readonly look?: Partial<StripLook>;
  /** Neighbouring dyes keep at least this distance in R_F. */
  readonly apart?: number;
  /** 'dried' fixes 20–60 % of the dyes, 'fresh' none to a tenth. */
  readonly run?: 'fresh' | 'dried';
  /** Of the scheme; 0.25 costs a tenth, where only what lies where is asked. @default 0.1 */
  readonly stepMm?: number;
}

/** Densities per unit concentration: cyan, magenta, yellow, blue, violet, red, green, grey. Invented. */
export const DYE_COLOURS: readonly Triple[] = [
  [0.9, 0.3, 0.08],
  [0.08, 0.9, 0.35],
  [0.01, 0.12, 0.9],
  [0.95, 0.6, 0.15],
  [0.5, 0.9, 0.3],
  [0.05, 0.7, 0.8],
  [0.9, 0.25, 0.5],
  [0.6, 0.62, 0.6],
];

export function randomStrip(seed: number, options: RandomOptions = {}): TrueStrip {
  const random = seededRandom(seed * 7919 + 13);
  const between = (low: number, high: number): number => low + (high - low) * random();
  const look: StripLook = { ...PLAIN_LOOK, ...randomLook(between, random, seed), ...options.look };
  const count = options.dyes ?? 1 + Math.floor(4 * random());
  const places = spacedPlaces(count, options.apart ?? 0.12, between);
  const order = DYE_COLOURS.map((colour) => ({ colour, key: random() })).toSorted((a, b) => a.key - b.key);
  const colours = places.map((_, i) => order[i % order.length].colour);
  const fixed =
    options.run === 'fresh' ? between(0, 0.1) : options.run === 'dried' ? between(0.2, 0.6) : between(0, 0.5);
  const spotMm = between(1.2, 4);
  const dyes = places.map((rF): Dye => {
    const peak = Math.exp(between(Math.log(0.12), Math.log(0.9)));
    const base = { mobile: rF, dose: peak * between(5, 8), fixed: fixed * between(0.5, 1) };
    const kind = options.sorption ?? 'mixed';
    const pick = kind === 'linear' ? 0 : kind === 'tailing' ? 0.4 + 0.6 * random() : random();
    if (pick < 0.4) return base;
    if (pick < 0.75) return { ...base, mobile: 0.85 * rF, capacity: between(0.4, 2) };
    return { ...base, slow: { on: between(0.002, 0.012), off: between(0.04, 0.15) } };
  });
  const run = simulateRun(dyes, {
    runMm: look.runMm,
    spotMm,
    dispersivityMm: between(0.03, 0.09),
    stepMm: options.stepMm ?? 0.1,
  });
  const strengths = look.optics === 'absorbance' ? 1 : 0.25; // K/S of 0.25 halves the signal of white paper about as a density of 0.3
  const tuned = colours.map((c): Triple => [c[0] * strengths, c[1] * strengths, c[2] * strengths]);
  const paper = look.paper;
  const visual = (amounts: readonly (readonly [Triple, number])[]): number =>
    visualDensity(paper, densitiesOf(amounts, look), nominal);
  const total = (curve: Float64Array): number => curve.reduce((a, b) => a + b, 0) * run.stepMm;
  const alone = run.dyes.map((dye, d) => dye.moved.map((v) => visual([[tuned[d], v]])));
  const atOrigin = run.dyes[0].fixed.map((_, i) => visual(run.dyes.map((dye, d) => [tuned[d], dye.fixed[i]])));
  const whole = alone.reduce((sum, curve) => sum + total(curve), total(atOrigin));
  const bands = run.dyes.map((dye, d) => {
    const top = Math.max(...dye.moved);
    return {
      d,
      rF: apexMm(dye.moved, run) / look.runMm,
      widthMm: widthMm(alone[d], run.stepMm),
      baseMm: baseMm(alone[d], run.stepMm),
      tail: tailOf(alone[d]),
      lab: xyzToLab(signalToXyz(signalUnder(paper, densitiesOf([[tuned[d], top]], look)), nominal)),
      sharePercent: (100 * total(alone[d])) / whole,
    };
  });
  const sorted = bands.toSorted((a, b) => a.rF - b.rF);
  const together = (dyes: readonly number[]): Omit<TrueBand, 'lab'> => {
    const own = dyes.map((k) => sorted[k]);
    const curve = alone[0].map((_, i) => visual(own.map(({ d }) => [tuned[d], run.dyes[d].moved[i]])));
    return {
      rF: apexMm(curve, run) / look.runMm,
      widthMm: widthMm(curve, run.stepMm),
      baseMm: baseMm(curve, run.stepMm),
      tail: tailOf(curve),
      sharePercent: own.reduce((sum, { sharePercent }) => sum + sharePercent, 0),
    };
  };
  const edges = [{ rF: 0, widthMm: spotMm }, ...sorted];
  const gaps = edges
    .slice(1)
    .map((b, i) => (1.18 * (b.rF - edges[i].rF) * look.runMm) / (b.widthMm + edges[i].widthMm));
  return {
    raster: drawStrip(run, tuned, look),
    look,
    ...givenDistances(look),
    bands: sorted,
    together,
    originRetainedPercent: (100 * total(atOrigin)) / whole,
    leastResolution: Math.min(...gaps),
  };
}

const nominal = compileCalibration(nominalCalibration);

function densitiesOf(amounts: readonly (readonly [Triple, number])[], look: StripLook): Triple {
  const at = (c: number): number =>
    density(
      amounts.reduce((sum, [colour, amount]) => sum + colour[c] * amount, 0),
      1,
      look.paper[c],
      look.optics,
    );
  return [at(0), at(1), at(2)];
}

function tailOf(curve: Float64Array): number {
  let best = 0;
  for (let i = 1; i < curve.length; i++) if (curve[i] > curve[best]) best = i;
  const reach = (way: 1 | -1): number => {
    let i = best;
    while (curve[i + way] > 0.1 * curve[best]) i += way;
    return Math.abs(i - best) + (curve[i] - 0.1 * curve[best]) / Math.max(1e-12, curve[i] - (curve[i + way] ?? 0));
  };
  return reach(-1) / reach(1);
}

function randomLook(
  between: (low: number, high: number) => number,
  random: () => number,
  seed: number,
): Partial<StripLook> {
  const travels: Travel[] = ['up', 'down', 'left', 'right'];
  return {
    seed: seed + 1000,
    travel: travels[Math.floor(4 * random())],
    originMm: between(9, 14),
    runMm: between(60, 75),
    laneMm: between(5, 10),
    widthMm: between(15, 20),
    wobbleMm: between(0, 1),
    unevenness: between(-0.04, 0.04),
    noise: between(0.002, 0.008),
    fibres: between(0.006, 0.018),
    clouds: between(0.001, 0.005),
    pencil: random() < 0.7 ? between(0.1, 0.4) : 0,
    tideline: random() < 0.7 ? between(0.01, 0.06) : 0,
    bedMm: random() < 0.4 ? between(0.5, 1.5) : 0,
    bed: random() < 0.5 ? [0.95, 0.95, 0.95] : [0.02, 0.02, 0.02],
    optics: random() < 0.5 ? 'absorbance' : 'layer',
  };
}

/** R_F values 0.08..0.95, each at least `apart` from the next. */
function spacedPlaces(count: number, apart: number, between: (low: number, high: number) => number): number[] {
  for (let attempt = 0; attempt < 500; attempt++) {
    const places = Array.from({ length: count }, () => between(0.08, 0.95)).toSorted((a, b) => a - b);
    if (places.every((p, i) => i === 0 || p - places[i - 1] >= apart)) return places;
  }
  return Array.from({ length: count }, (_, i) => 0.1 + (0.85 * i) / Math.max(1, count - 1));
}
