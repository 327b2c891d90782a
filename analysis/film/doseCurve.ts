/** From dose to colour along a fitted ink on one of its papers, and back from a signal to the dose that looks like it. */
import { labD50, xyzToLab, type LabD50, type Xyz } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { believed, type FilmColour, labSlopesOf, XYZ_STACKED } from './filmColour.ts';
import type { FilmFit } from './fitFilm.ts';
import { meanDose, type ModelState, respond } from './model.ts';
import type { Sensors } from './sensors.ts';
import { signalNoise } from './signalNoise.ts';
import { DOSE_LOG_SD } from './unknowns.ts';

type Triple = readonly [number, number, number];

/** `u` is that of a region of just this signal: what the fit leaves in doubt, and how well the signal tells its dose. */
export interface CurvePoint extends FilmColour {
  /** As `fittedDoses` counts it: absorption × thickness where the ink absorbs most. */
  readonly dose: number;
  /** Linear signals, straightened (bend.ts), that the estimated sensors see. */
  readonly signal: Triple;
}

/** @param paper index into the fit's papers @param doses rising, above 0 */
export function doseCurve(fit: FilmFit, paper: number, doses: readonly number[]): CurvePoint[] {
  const { state, sensors } = fit;
  const top = Math.max(...state.ink.k);
  const size = state.at.count;
  const at = state.at.doses;
  const usual = meanDose(state);
  return doses.map((dose) => {
    // The curve's dose borrows the first region's place in the vector.
    const z = Float64Array.from(state.z);
    z[at] = Math.log(dose / top) / DOSE_LOG_SD;
    const here: ModelState = { ...state, z };
    const bySignal = new Float64Array(3 * size);
    const signal = respond(here, { paper, dose: 0 }, sensors.curves, sensors.doubt, bySignal);
    const byXyz = new Float64Array(3 * size);
    const xyz: Xyz = respond(here, { paper, dose: 0 }, XYZ_STACKED, [], byXyz);
    const slopes = labSlopesOf(xyz, byXyz, size);
    // A region of this signal would have its own dose fitted: what moves the signal along the curve moves the dose, not the colour.
    const weights = signal.map((x) => fit.noise ** -2 * signalNoise(x) ** -2);
    const along = [0, 1, 2].map((c) => bySignal[c * size + at]);
    const hold = along.reduce((sum, v, c) => sum + weights[c] * v * v, 1);
    const byDose = [0, 1, 2].map((a) => slopes[a * size + at]);
    const back = new Float64Array(size);
    for (let c = 0; c < 3; c++) {
      for (let j = 0; j < size; j++) back[j] += (weights[c] * along[c] * bySignal[c * size + j]) / hold;
    }
    for (let a = 0; a < 3; a++) {
      for (let j = 0; j < size; j++) slopes[a * size + j] -= byDose[a] * back[j];
      slopes[a * size + at] = 0;
    }
    const own: LabValue = [byDose[0] ** 2 / hold, byDose[1] ** 2 / hold, byDose[2] ** 2 / hold];
    const colour = believed(fit, xyzToLab(xyz), slopes, own, ({ state: other }) =>
      xyzToLab(alike(other, sensors, paper, signal, weights, z[at] + meanDose(other) - usual)),
    );
    return { dose, signal, ...colour };
  });
}

/** XYZ of another state at the dose whose signal comes nearest. @param from its dose by the fit's own regions, in the vector's units */
function alike(
  state: ModelState,
  sensors: Sensors,
  paper: number,
  signal: Triple,
  weights: readonly number[],
  from: number,
): Xyz {
  const size = state.at.count;
  const at = state.at.doses;
  const rows = new Float64Array(3 * size);
  const z = Float64Array.from(state.z);
  z[at] = from;
  const here: ModelState = { ...state, z };
  for (let step = 0; step < ALIKE_STEPS; step++) {
    const seen = respond(here, { paper, dose: 0 }, sensors.curves, sensors.doubt, rows);
    let along = (from - z[at]) / DOSE_APART ** 2;
    let hold = 1 / DOSE_APART ** 2;
    for (let c = 0; c < 3; c++) {
      const slope = rows[c * size + at];
      along += weights[c] * slope * (signal[c] - seen[c]);
      hold += weights[c] * slope * slope;
    }
    z[at] += along / hold;
  }
  return respond(here, { paper, dose: 0 }, XYZ_STACKED, [], rows);
}
const ALIKE_STEPS = 4;
/** How far doses of two states may go apart along a curve: where signals no longer change with dose, they do not. */
const DOSE_APART = 0.1;

export interface NearestDose {
  readonly dose: number;
  readonly lab: LabD50;
  /** The curve's points on either side, and how far between them: 0 at `from`, 1 at `from + 1`. */
  readonly from: number;
  readonly share: number;
  /** Distance of the signal from the curve, in standard deviations per channel (root mean square). */
  readonly away: number;
  /** The signal lies beyond the curve's palest or densest point. */
  readonly beyond: 'paler' | 'denser' | null;
}

/** @param curve two points or more, doses rising @param signal straightened like the fit's */
export function nearestDose(curve: readonly CurvePoint[], signal: Triple): NearestDose {
  const [r, g, b] = signal.map((x) => 1 / signalNoise(x));
  let from = 0;
  let share = 0;
  let least = Infinity;
  let open = 0;
  for (let i = 0; i + 1 < curve.length; i++) {
    const p = curve[i].signal;
    const q = curve[i + 1].signal;
    const ways = [(q[0] - p[0]) * r, (q[1] - p[1]) * g, (q[2] - p[2]) * b];
    const off = [(signal[0] - p[0]) * r, (signal[1] - p[1]) * g, (signal[2] - p[2]) * b];
    const length = ways[0] ** 2 + ways[1] ** 2 + ways[2] ** 2;
    const wanted = length > 0 ? (off[0] * ways[0] + off[1] * ways[1] + off[2] * ways[2]) / length : 0;
    const t = Math.min(1, Math.max(0, wanted));
    const away = (off[0] - t * ways[0]) ** 2 + (off[1] - t * ways[1]) ** 2 + (off[2] - t * ways[2]) ** 2;
    if (away >= least) continue;
    least = away;
    from = i;
    share = t;
    open = wanted;
  }
  const [a, c] = [curve[from], curve[from + 1]];
  const last = curve.length - 2;
  return {
    dose: a.dose * (c.dose / a.dose) ** share,
    lab: between(a.lab, c.lab, share),
    from,
    share,
    away: Math.sqrt(least / 3),
    beyond: from === 0 && open < 0 ? 'paler' : from === last && open > 1 ? 'denser' : null,
  };
}

function between(a: LabD50, b: LabD50, share: number): LabD50 {
  return labD50(a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2]));
}
