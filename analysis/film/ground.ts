/** A bare paper's reflectance from its three signals: Gauss–Newton in each kind of paper, weighed by evidence. */
import { cholesky, solveCholesky } from '../calibrate/cholesky.ts';
import { mixtureRows, type MixtureRow } from './encoded.ts';
import { GRID } from './grid.ts';
import { GROUNDS } from './priors/groundTable.ts';
import { seen } from './sensorFit.ts';
import type { Sensors } from './sensors.ts';
import { signalNoise } from './signalNoise.ts';

const COUNT = GRID.count;

const STEPS = 8;
/** A bare paper's signal is the mean of thousands of pixels: trusted to this share of what a region's is. */
const BARE_NOISE = 0.5;
let known: readonly MixtureRow[] | null = null;

type Eyes = Pick<Sensors, 'curves'>;

/** Logarithms of reflectance: what three signals tell, and one standard deviation along each way that they leave open. */
export interface GroundEstimate {
  readonly log: Float64Array;
  readonly doubts: readonly Float64Array[];
}

/** @param signal straightened (bend.ts) */
export function groundEstimate(signal: readonly [number, number, number], sensors: Eyes): GroundEstimate {
  known ??= mixtureRows(GROUNDS.shares, GROUNDS.rows, COUNT);
  const estimates = known.map(({ share, mean, modes }) => {
    const found = estimateIn(mean, modes, signal, sensors);
    return { ...found, evidence: found.evidence + Math.log(share), modes };
  });
  const most = Math.max(...estimates.map(({ evidence }) => evidence));
  const raw = estimates.map(({ evidence }) => Math.exp(evidence - most));
  const sum = raw.reduce((a, b) => a + b, 0);
  const weights = raw.map((weight) => weight / sum);
  const log = Float64Array.from({ length: COUNT }, (_, l) =>
    estimates.reduce((total, one, n) => total + weights[n] * one.log[l], 0),
  );
  const doubts = estimates.flatMap(({ log: own, modes, factor }, n): Float64Array[] => {
    if (weights[n] < 0.02) return [];
    const root = Math.sqrt(weights[n]);
    const within = modes.map((_, j) => {
      const way = backSolved(factor, modes.length, j);
      const open = new Float64Array(COUNT);
      for (let k = 0; k < modes.length; k++) for (let l = 0; l < COUNT; l++) open[l] += root * way[k] * modes[k][l];
      return open;
    });
    return [own.map((v, l) => root * (v - log[l])), ...within];
  });
  return { log, doubts };
}

/** Column j of L⁻ᵀ: of independent unit steps, one that the curvature L Lᵀ leaves. */
function backSolved(factor: Float64Array, size: number, j: number): Float64Array {
  const x = new Float64Array(size);
  for (let r = j; r >= 0; r--) {
    let sum = r === j ? 1 : 0;
    for (let k = r + 1; k <= j; k++) sum -= factor[k * size + r] * x[k];
    x[r] = sum / factor[r * size + r];
  }
  return x;
}

function estimateIn(
  mean: Float64Array,
  modes: readonly Float64Array[],
  signal: readonly [number, number, number],
  sensors: Eyes,
): { log: Float64Array; evidence: number; factor: Float64Array } {
  const size = modes.length;
  const sd = signal.map((x) => BARE_NOISE * signalNoise(x));
  const rows = new Float64Array(3 * size);
  const through = new Float64Array(COUNT);
  const rest = [0, 0, 0];
  let z: Float64Array = new Float64Array(size);
  let log = logOf(mean, modes, z);
  let factor: Float64Array = new Float64Array(0);
  let cost = 0;
  for (let step = 0; step <= STEPS; step++) {
    const r = log.map(Math.exp);
    cost = 0;
    for (let k = 0; k < size; k++) cost += 0.5 * z[k] * z[k];
    for (let c = 0; c < 3; c++) {
      rest[c] = (signal[c] - seen(sensors.curves, c, r)) / sd[c];
      cost += 0.5 * rest[c] ** 2;
      for (let l = 0; l < COUNT; l++) through[l] = (sensors.curves[c * COUNT + l] * r[l]) / sd[c];
      for (let k = 0; k < size; k++) {
        let sum = 0;
        for (let l = 0; l < COUNT; l++) sum += through[l] * modes[k][l];
        rows[c * size + k] = sum;
      }
    }
    const normal = new Float64Array(size * size);
    const right = Float64Array.from(z, (v) => -v);
    for (let a = 0; a < size; a++) {
      normal[a * size + a] = 1;
      for (let c = 0; c < 3; c++) {
        const slope = rows[c * size + a];
        right[a] += slope * rest[c];
        for (let b = 0; b <= a; b++) normal[a * size + b] += slope * rows[c * size + b];
      }
    }
    factor = cholesky(normal, size);
    if (step === STEPS) break;
    const move = solveCholesky(factor, size, right);
    const longest = Math.max(...move.map(Math.abs));
    const share = Math.min(1, 1.5 / longest);
    z = z.map((v, k) => v + share * move[k]);
    log = logOf(mean, modes, z);
  }
  let evidence = -cost;
  for (let k = 0; k < size; k++) evidence -= Math.log(factor[k * size + k]);
  return { log, evidence, factor };
}

function logOf(mean: Float64Array, modes: readonly Float64Array[], z: Float64Array): Float64Array {
  const log = Float64Array.from(mean);
  for (let k = 0; k < modes.length; k++) for (let l = 0; l < COUNT; l++) log[l] += z[k] * modes[k][l];
  for (let l = 0; l < COUNT; l++) log[l] = Math.min(0.1, log[l]);
  return log;
}
