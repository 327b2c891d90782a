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

/** @param signal straightened (bend.ts) @returns reflectance on the grid */
export function estimateGround(signal: readonly [number, number, number], sensors: Eyes): Float64Array {
  const { log } = groundEstimate(signal, sensors);
  return log.map(Math.exp);
}

/** Logarithms of reflectance: what three signals tell, and one standard deviation along each way that they leave open. */
export interface GroundEstimate {
  readonly log: Float64Array;
  readonly doubts: readonly Float64Array[];
}

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
      return own.map((_, l) => root * modes.reduce((total, mode, k) => total + way[k] * mode[l], 0));
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
  let z: Float64Array = new Float64Array(size);
  let log = logOf(mean, modes, z);
  let factor: Float64Array = new Float64Array(0);
  let cost = 0;
  for (let step = 0; step <= STEPS; step++) {
    const r = log.map(Math.exp);
    const rest = [0, 1, 2].map((c) => (signal[c] - seen(sensors.curves, c, r)) / sd[c]);
    cost = 0.5 * (rest[0] ** 2 + rest[1] ** 2 + rest[2] ** 2 + z.reduce((sum, v) => sum + v * v, 0));
    const rows = [0, 1, 2].map((c) =>
      modes.map(
        (mode) =>
          seen(
            sensors.curves,
            c,
            r.map((v, l) => v * mode[l]),
          ) / sd[c],
      ),
    );
    const normal = new Float64Array(size * size);
    const right = Float64Array.from(z, (v) => -v);
    for (let a = 0; a < size; a++) {
      normal[a * size + a] = 1;
      for (let c = 0; c < 3; c++) {
        right[a] += rows[c][a] * rest[c];
        for (let b = 0; b <= a; b++) normal[a * size + b] += rows[c][a] * rows[c][b];
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
  return mean.map((v, l) =>
    Math.min(
      0.1,
      modes.reduce((sum, mode, k) => sum + z[k] * mode[l], v),
    ),
  );
}
