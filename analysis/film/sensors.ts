/**
 * What a scanner's three channels see, estimated from a target of known spectra, or of known Lab: prior curves by lamp class
 * (priors/sensorTable.ts) and Bayes' rule for Gaussians. The curves may be negative in places, since drivers apply a matrix.
 */
import { solveCholesky } from '../calibrate/cholesky.ts';
import { type LabD50, xyzToLab } from '../colour/lab.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { curveFunctions } from '../calibrate/toneCurve.ts';
import { dot } from '../dot.ts';
import { type Bend, evened, straightened, type Wave } from './bend.ts';
import { type BendKind, bendPrior, type CurveTriple } from './bendPrior.ts';
import { blackLevels } from './cutSignals.ts';
import { floatRows } from './encoded.ts';
import { GRID, xyzOnGrid } from './grid.ts';
import type { PatchSpectrum } from './patchSpectra.ts';
import { printedTarget } from './printedTarget.ts';
import { PRINTINGS } from './prints.ts';
import { SENSORS } from './priors/sensorTable.ts';
import { waveOf } from './smoothTone.ts';
import { type CurvePrior, fitSensors, type SensorFit, signalRanges, type TargetHypothesis } from './sensorFit.ts';

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
  /** What the target was taken to be printed with: 'given', 'tone' and 'dots' of three dyes, 'inks' of five and a black, or 'varied'. */
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

/** Noise levels tried: [at black, share of the signal], from much to little; the usual one chooses lamp and target. */
const NOISES: readonly (readonly [number, number])[] = [
  [1.5e-3, 0.03],
  [1e-3, 0.015],
  [1e-3, 0.006],
  [6e-4, 0.002],
  [2e-4, 0],
];
const USUAL_NOISE = NOISES[2];
/** Gauss–Newton: from nothing, with another noise (where a print's properties are unknown, too), and to the end. */
const ROUNDS = { choice: 3, noise: 2, printNoise: 1, end: 3 } as const;
/** Prints that are tried with all lamps, and how far behind the best (log evidence) they may be with the first. */
const LIKELY = { most: 2, behind: 40 } as const;
/** A print that after two rounds is this far behind another's end (log evidence) is given up: of 30 targets none lost the print that was chosen without this (seeds 400–443). */
const HOPELESS = 80;
/** What is believed in the end: as many lamps and prints, each by a share of its log evidence, since what the models leave out counts in it, too. */
const BELIEVED = { most: 3, share: 0.5, least: 0.03 } as const;
/** Patches in doubt each by itself share more than that says, and so their evidence is too high by about as much a patch: seeds 101–134 and 302–323, and the chart's 100–105 and 300–308. */
const OVERRATED = 1.5;
export const DOUBT_MODES = 16;
/** More patches say the same of three dyes, when only their Lab is known. */
const MOST_BY_LAB = 40;
const MOST_VARIED = 150;
const FEWEST_FOR_DYES = 12;

/** By which share all three signals of a patch are off alike: light, gloss and place differ between the scan and who measured it. 0.0015 to 0.004 do alike (60 devices, seeds 420–449). */
const ALIKE_SD = 0.0025;

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

/** What a target's print tells of the calibration's curves: drawn through greys of a black ink they are about right. */
const BENDS_BY_PRINT: Readonly<Record<TargetHypothesis['name'], readonly BendKind[]>> = {
  given: ['straight', 'shared'],
  varied: ['straight', 'shared'],
  tone: ['shared'],
  dots: ['shared'],
  inks: ['straight'],
};
/** Channels that share no law are believed in when that is worth so much log evidence. */
const NOT_ALIKE = 6;

interface Choice {
  readonly lamp: LampClass;
  readonly bends: BendKind;
  readonly target: TargetHypothesis;
  readonly noise: readonly [number, number];
  readonly fit: SensorFit;
  readonly evidence: number;
}

/**
 * @param asSeen patches, a dozen or more; clipped ones left out by the caller
 * @param given curves of the calibration that made the signals linear: what one channel's curve tells of another's; null: nothing
 */
export function estimateSensors(asSeen: readonly SeenPatch[], given: Calibration['curves'] | null = null): Sensors {
  const { waves, curves } = given === null ? { waves: NO_WAVES, curves: null } : evenCurves(given);
  const patches = asSeen.map((patch) => ({
    ...patch,
    signal: evenedAll(patch.signal, waves),
  }));
  const byLab = patches.some(({ spectrum }) => spectrum.doubt.length > 0);
  const used = byLab ? spreadOut(patches, MOST_BY_LAB) : patches;
  const black = blackLevels(patches.map(({ signal }) => signal));
  const ranges = signalRanges(
    patches.map(({ signal }) => signal),
    black,
  );
  const tried = (
    { lamp, target, bends, noise }: Pick<Choice, 'lamp' | 'target' | 'bends' | 'noise'>,
    rounds: number,
    from: Float64Array | null,
    among = used,
    leastEvidence = -Infinity,
  ): Choice => {
    const signals = among.map(({ signal }) => signal);
    const fit = fitSensors(priorOf(lamp), target, signals, {
      noise,
      black,
      rounds,
      ranges,
      bends: bendPrior(bends, curves, ranges) ?? bendPrior('separate', curves, ranges)!,
      from,
      leastEvidence,
    });
    const evidence = fit.evidence - (target.name === 'varied' ? OVERRATED * among.length : 0);
    return { lamp, target, bends, noise, fit, evidence };
  };
  const kinds = (name: string): readonly BendKind[] => {
    if (curves === null) return ['separate'];
    // One curve for all channels was drawn since greys are mixed: it is right for none.
    return curves[0] === curves[1] ? ['shared'] : BENDS_BY_PRINT[name];
  };
  // What the target is printed with by one lamp, then the lamp, then the noise.
  const begun: Choice[] = [];
  for (const target of hypotheses(used, byLab)) {
    for (const bends of kinds(target.name)) {
      const least = Math.max(...begun.map(({ evidence }) => evidence)) - HOPELESS;
      const hopeless = target.count > 0 ? least : -Infinity;
      begun.push(tried({ lamp: LAMPS[0], target, bends, noise: USUAL_NOISE }, ROUNDS.choice, null, used, hopeless));
    }
  }
  const prints = begun.toSorted((a, b) => b.evidence - a.evidence);
  const choices = [...prints];
  for (const print of prints.slice(0, LIKELY.most)) {
    if (print.evidence < prints[0].evidence - LIKELY.behind) continue;
    for (const lamp of LAMPS.slice(1)) choices.push(tried({ ...print, lamp }, ROUNDS.choice, underAnyLamp(print)));
  }
  const likeliest = choices.reduce(better);
  const unlike = tried({ ...likeliest, bends: 'separate' }, ROUNDS.choice, likeliest.fit.unknowns);
  const first = unlike.evidence > likeliest.evidence + NOT_ALIKE ? unlike : likeliest;
  if (first === unlike) choices.push(unlike);
  const rounds = first.target.count > 0 ? ROUNDS.printNoise : ROUNDS.noise;
  const noise = likeliestNoise(first, (noise) => tried({ ...first, noise }, rounds, first.fit.unknowns));
  // Patches of varied colorants are in doubt each by itself: the more, the surer. Those of a print share what is in doubt, and more than its model holds.
  const isVaried = first.target.name === 'varied';
  const more = isVaried ? spreadOut(patches, MOST_VARIED) : used;
  const ended = choices
    .toSorted((a, b) => b.evidence - a.evidence)
    .filter(({ target }) => (target.name === 'varied') === isVaried)
    .slice(0, BELIEVED.most)
    .map((one) => {
      const target = more === used ? one.target : asGiven(more, byLab);
      return tried({ ...one, target, noise }, ROUNDS.end, one.fit.unknowns, more);
    });
  return blended(ended, byLab, black, waves);
}

type Waves = readonly [Wave | null, Wave | null, Wave | null];
const NO_WAVES: Waves = [null, null, null];

/** The calibration's curves without their greys' waves, and those. */
function evenCurves(given: Calibration['curves']): { waves: Waves; curves: CurveTriple } {
  const at = curveFunctions(given);
  const wave = (c: 0 | 1 | 2): Wave | null => waveOf(given[c], at[c]);
  const waves: Waves = [wave(0), wave(1), wave(2)];
  const even = (c: 0 | 1 | 2) => (device: number) => evened(at[c](device), waves[c]);
  const first = even(0);
  return { waves, curves: [first, at[1] === at[0] ? first : even(1), at[2] === at[0] ? first : even(2)] };
}

function evenedAll([r, g, b]: Triple, waves: Waves): Triple {
  return [evened(r, waves[0]), evened(g, waves[1]), evened(b, waves[2])];
}

/** What is believed: the mean over all lamps and prints that the target bears, and what lies between them is in doubt. */
function blended(choices: readonly Choice[], byLab: boolean, black: Triple, waves: Waves): Sensors {
  const best = choices.reduce(better);
  const raw = choices.map(({ evidence }) => Math.exp(BELIEVED.share * (evidence - best.evidence)));
  const heard = choices
    .map((choice, n) => ({ ...choice, weight: raw[n] }))
    .filter(({ weight }) => weight > BELIEVED.least);
  const sum = heard.reduce((total, { weight }) => total + weight, 0);
  const parts = heard.map((choice) => ({ ...choice, weight: choice.weight / sum }));
  const curves = new Float64Array(WIDTH);
  for (const { weight, fit } of parts) for (let l = 0; l < WIDTH; l++) curves[l] += weight * fit.curves[l];
  const bend = (c: 0 | 1 | 2): Bend => ({
    coefficients: best.fit.bends[c].coefficients.map((_, k) =>
      parts.reduce((total, { weight, fit }) => total + weight * fit.bends[c].coefficients[k], 0),
    ),
    range: best.fit.bends[c].range,
    offset: parts.reduce((total, { weight, fit }) => total + weight * (fit.bends[c].offset ?? 0), 0),
    wave: waves[c],
  });
  const bends: [Bend, Bend, Bend] = [bend(0), bend(1), bend(2)];
  return {
    curves,
    doubt: doubtOf(parts, curves),
    lamp: best.lamp,
    taughtBy: byLab ? 'lab' : 'spectra',
    target: best.target.name,
    bends,
    black: straightened(black, bends),
    evidence: best.fit.evidence,
    noise: best.noise,
  };
}

/** Less noise, as long as that is likelier; else more. */
function likeliestNoise(first: Choice, tried: (noise: readonly [number, number]) => Choice): readonly [number, number] {
  let best = first;
  for (const way of [1, -1]) {
    for (let n = NOISES.indexOf(first.noise) + way; n >= 0 && n < NOISES.length; n += way) {
      const next = tried(NOISES[n]);
      if (next.evidence <= best.evidence) break;
      best = next;
    }
    if (best !== first) break;
  }
  return best.noise;
}

/** Where to begin with another lamp: its own middle, and what the print and the tone curves seem to be. */
function underAnyLamp({ lamp, fit }: Choice): Float64Array {
  return fit.unknowns.map((v, k) => (k < priorOf(lamp).modes.length ? 0 : v));
}

function better(a: Choice, b: Choice): Choice {
  return a.evidence >= b.evidence ? a : b;
}

function asGiven(patches: readonly SeenPatch[], byLab: boolean): TargetHypothesis {
  const spectra = {
    mean: patches.map(({ spectrum }) => spectrum.mean),
    modes: [],
    own: patches.map(({ spectrum: { mean, doubt } }) => [...doubt, mean.map((r) => ALIKE_SD * r)]),
  };
  return { name: byLab ? 'varied' : 'given', count: 0, at: () => spectra };
}

function hypotheses(patches: readonly SeenPatch[], byLab: boolean): TargetHypothesis[] {
  const given = asGiven(patches, byLab);
  if (!byLab || patches.length < FEWEST_FOR_DYES) return [given];
  const labs = patches.map(({ spectrum }) => xyzToLab(xyzOnGrid(spectrum.mean)));
  const greys = patches.map(({ grey }) => grey);
  return [given, ...PRINTINGS.map((name) => ({ name, ...printedTarget(labs, greys, name) }))];
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

interface Believed extends Choice {
  readonly weight: number;
}

/**
 * Strongest directions of what is in doubt, each part's own U M⁻¹ Uᵀ and what lies between the parts: by power iteration, which needs no eigenvalues of
 * 108 × 108.
 */
function doubtOf(parts: readonly Believed[], curves: Float64Array): Float64Array[] {
  const away = parts.map(({ fit }) => fit.curves.map((v, l) => v - curves[l]));
  const found: Float64Array[] = [];
  for (let n = 0; n < DOUBT_MODES; n++) {
    let v: Float64Array = Float64Array.from({ length: WIDTH }, (_, l) => Math.sin((l + 1) * (n + 1.7)));
    let length = 0;
    for (let turn = 0; turn < TURNS; turn++) {
      const next = new Float64Array(WIDTH);
      parts.forEach(({ lamp, fit, weight }, part) => {
        const { modes } = priorOf(lamp);
        const u = new Float64Array(fit.size);
        modes.forEach((mode, k) => (u[k] = dot(mode, v)));
        const w = solveCholesky(fit.factor, fit.size, u);
        modes.forEach((mode, k) => {
          for (let l = 0; l < WIDTH; l++) next[l] += weight * w[k] * mode[l];
        });
        const along = weight * dot(away[part], v);
        for (let l = 0; l < WIDTH; l++) next[l] += along * away[part][l];
      });
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
const TURNS = 10;
