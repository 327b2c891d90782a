/**
 * What a scanner's three channels see, estimated from a target of known spectra, or of known Lab: prior curves by lamp class
 * (priors/sensorTable.ts) and Bayes' rule for Gaussians. The curves may be negative in places, since drivers apply a matrix.
 */
import { solveCholesky } from '../calibrate/cholesky.ts';
import { type LabD50, xyzToLab } from '../colour/lab.ts';
import { straightened, type Bend } from './bend.ts';
import { blackLevels } from './cutSignals.ts';
import { floatRows } from './encoded.ts';
import { GRID, xyzOnGrid } from './grid.ts';
import type { PatchSpectrum } from './patchSpectra.ts';
import { printedTarget } from './printedTarget.ts';
import { SENSORS } from './priors/sensorTable.ts';
import { type CurvePrior, fitSensors, type SensorFit, type TargetHypothesis } from './sensorFit.ts';

const WIDTH = 3 * GRID.count;
export type LampClass = keyof typeof SENSORS;
type Triple = readonly [number, number, number];

/** A patch as seen: linear signals (perfect white about 1), and what is known of its reflectance. */
export interface SeenPatch {
  readonly signal: Triple;
  readonly grey: boolean;
  readonly spectrum: PatchSpectrum;
}

export interface Sensors {
  /** Red, green, blue over the grid, 108 values: signal c of a reflectance r is Σ r[l] · curves[36 c + l]. */
  readonly curves: Float64Array;
  /** How the curves may be off: independent unit normals times these (108 values each), strongest first. */
  readonly doubt: readonly Float64Array[];
  readonly lamp: LampClass;
  /** Whether the target's spectra were known or its Lab alone, which says less. */
  readonly taughtBy: 'spectra' | 'lab';
  /** What the target was taken to be printed with: 'given', 'tone' and 'dots' of three dyes, or 'varied'. */
  readonly target: string;
  /** What brings the calibration's linear signals to these sensors': greys are not flat, so neither is what they were made straight by. */
  readonly bends: readonly [Bend, Bend, Bend];
  /** Below these, straightened, a signal says only that the light was as little or less. */
  readonly black: readonly [number, number, number];
  /** Log evidence of the chosen class and noise; comparable within one target only. */
  readonly evidence: number;
  /** Noise of a signal that the target bears out: standard deviation e0 ⊕ e1 · signal. */
  readonly noise: readonly [e0: number, e1: number];
}

/** Noise levels tried: [at black, share of the signal]; the first chooses lamp and target. */
const NOISES: readonly (readonly [number, number])[] = [
  [1e-3, 0.006],
  [6e-4, 0.002],
  [2e-4, 0],
  [1e-3, 0.015],
  [1.5e-3, 0.03],
];
/** Gauss–Newton: enough to choose by, and to the end. */
const ROUNDS = { choice: 3, end: 6 } as const;
export const DOUBT_MODES = 16;
/** More patches say the same of three dyes, when only their Lab is known. */
const MOST_BY_LAB = 40;
const MOST_VARIED = 150;
const FEWEST_FOR_DYES = 12;

const LAMPS: readonly LampClass[] = ['LED', 'lines', 'smooth'];
let priors: ReadonlyMap<LampClass, CurvePrior> | null = null;

function priorOf(lamp: LampClass): CurvePrior {
  priors ??= new Map(
    LAMPS.map((name) => {
      const [mean, ...modes] = floatRows(SENSORS[name], WIDTH);
      return [name, { mean, modes }];
    }),
  );
  return priors.get(lamp)!;
}

interface Choice {
  readonly lamp: LampClass;
  readonly target: TargetHypothesis;
  readonly noise: readonly [number, number];
  readonly fit: SensorFit;
}

/** @param patches a dozen or more; clipped ones left out by the caller */
export function estimateSensors(patches: readonly SeenPatch[]): Sensors {
  const byLab = patches.some(({ spectrum }) => spectrum.doubt.length > 0);
  const used = byLab ? spreadOut(patches, MOST_BY_LAB) : patches;
  const black = blackLevels(patches.map(({ signal }) => signal));
  const tried = (
    lamp: LampClass,
    target: TargetHypothesis,
    noise: readonly [number, number],
    rounds: number,
    among = used,
  ): Choice => ({
    lamp,
    target,
    noise,
    fit: fitSensors(
      priorOf(lamp),
      target,
      among.map(({ signal }) => signal),
      noise,
      black,
      rounds,
    ),
  });
  // Target and lamp first, then the noise, then the lamp again if the noise is another.
  let best: Choice | null = null;
  for (const target of hypotheses(used, byLab)) {
    for (const lamp of LAMPS) best = better(best, tried(lamp, target, NOISES[0], ROUNDS.choice));
  }
  const first = best!;
  for (const noise of NOISES.slice(1)) best = better(best, tried(first.lamp, first.target, noise, ROUNDS.choice));
  for (const lamp of best!.noise === NOISES[0] ? [] : LAMPS) {
    if (lamp !== first.lamp) best = better(best, tried(lamp, first.target, best!.noise, ROUNDS.choice));
  }
  const { lamp, target, noise } = best!;
  // Patches of varied colorants are in doubt each by itself: the more, the surer.
  const more = spreadOut(patches, MOST_VARIED);
  const { fit } =
    target.name === 'varied'
      ? tried(lamp, asGiven(more, byLab), noise, ROUNDS.end, more)
      : tried(lamp, target, noise, ROUNDS.end);
  return {
    curves: fit.curves,
    doubt: doubtOf(priorOf(lamp), fit),
    lamp,
    taughtBy: byLab ? 'lab' : 'spectra',
    target: target.name,
    bends: fit.bends,
    black: straightened(black, fit.bends),
    evidence: fit.evidence,
    noise,
  };
}

function better(a: Choice | null, b: Choice): Choice {
  return a !== null && a.fit.evidence >= b.fit.evidence ? a : b;
}

function asGiven(patches: readonly SeenPatch[], byLab: boolean): TargetHypothesis {
  return {
    name: byLab ? 'varied' : 'given',
    mean: patches.map(({ spectrum }) => spectrum.mean),
    modes: [],
    own: patches.map(({ spectrum }) => spectrum.doubt),
  };
}

function hypotheses(patches: readonly SeenPatch[], byLab: boolean): TargetHypothesis[] {
  const given = asGiven(patches, byLab);
  if (!byLab || patches.length < FEWEST_FOR_DYES) return [given];
  const labs = patches.map(({ spectrum }) => xyzToLab(xyzOnGrid(spectrum.mean)));
  const own = patches.map(() => []);
  return [given, ...(['tone', 'dots'] as const).map((name) => ({ name, ...printedTarget(labs, name), own }))];
}

/** Half of them the farthest from one another in Lab, half evenly over the lightness of the others: the most colourful alone tell least of a usual patch. */
function spreadOut(patches: readonly SeenPatch[], most: number): readonly SeenPatch[] {
  if (patches.length <= most) return patches;
  const labs: LabD50[] = patches.map(({ spectrum }) => xyzToLab(xyzOnGrid(spectrum.mean)));
  let next = labs.reduce((light, lab, i) => (lab[0] > labs[light][0] ? i : light), 0);
  const away = labs.map(() => Infinity);
  const far = new Set<number>();
  while (far.size < most / 2) {
    far.add(next);
    labs.forEach((lab, i) => {
      const distance = Math.hypot(lab[0] - labs[next][0], lab[1] - labs[next][1], lab[2] - labs[next][2]);
      away[i] = Math.min(away[i], distance);
    });
    next = away.reduce((most, distance, i) => (distance > away[most] ? i : most), 0);
  }
  const others = patches
    .map((_, i) => i)
    .filter((i) => !far.has(i))
    .sort((a, b) => labs[b][0] - labs[a][0]);
  const rest = most - far.size;
  const even = Array.from({ length: rest }, (_, i) => others[Math.floor(((i + 0.5) * others.length) / rest)]);
  return [...far, ...even].map((i) => patches[i]);
}

/** Strongest directions of the posterior: by power iteration on U M⁻¹ Uᵀ, which needs no eigenvalues of 108 × 108. */
function doubtOf(prior: CurvePrior, { factor, size }: SensorFit): Float64Array[] {
  const modes = prior.modes.length;
  const found: Float64Array[] = [];
  for (let n = 0; n < DOUBT_MODES; n++) {
    let v: Float64Array = Float64Array.from({ length: WIDTH }, (_, l) => Math.sin((l + 1) * (n + 1.7)));
    let length = 0;
    for (let turn = 0; turn < 12; turn++) {
      const u = new Float64Array(size);
      prior.modes.forEach((mode, k) => (u[k] = dot(mode, v)));
      const w = solveCholesky(factor, size, u);
      const next = new Float64Array(WIDTH);
      for (let k = 0; k < modes; k++) for (let l = 0; l < WIDTH; l++) next[l] += w[k] * prior.modes[k][l];
      for (const before of found) {
        const size = dot(before, before);
        const along = size > 0 ? dot(before, next) / size : 0;
        for (let l = 0; l < WIDTH; l++) next[l] -= along * before[l];
      }
      length = Math.sqrt(dot(next, next));
      if (length === 0) break;
      v = next.map((value) => value / length);
    }
    found.push(v.map((value) => value * Math.sqrt(length)));
  }
  return found;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
