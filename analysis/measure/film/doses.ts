/** The doses that one region holds: its counted pixels by how dense they are, as mean linear signals, for the film fit. */
import { addTriples } from '../addTriples.ts';

type Triple = readonly [number, number, number];

export interface RegionDoses {
  /** Rising density, one or more. */
  readonly bins: readonly DoseBin[];
  /** Mean smoothed signals about the 10th and the 90th percentile of lightness: the ends that the shading lies between. */
  readonly dark: Triple;
  readonly light: Triple;
}

export interface DoseBin {
  /** Mean linear signals as on the reference paper: ratio to the paper under the ink × the reference paper's signal. */
  readonly signal: Triple;
  /** Of all counted pixels, 0..1. */
  readonly share: number;
  /** Standard deviation of density within, over the bin's mean density. */
  readonly spread: number;
  /** Share of its pixels with a channel at an end of the scale, 0..1; they count neither in `signal` nor in `spread`. */
  readonly clippedShare: number;
}

export interface CountedPixels {
  /** Signal over the paper under it, three a pixel, as scanned and smoothed as the measure smooths. */
  readonly ratio: Float32Array;
  readonly smoothRatio: Float32Array;
  /** Of each pixel, not 0 where it has a channel at an end of the scale. */
  readonly clipped: Uint8Array;
  /** Signal of the reference paper. */
  readonly paper: Triple;
  /** Relative scatter that bare paper shows after the same smoothing. */
  readonly paperNoise: number;
}

export interface DoseOptions {
  /** Least step from one bin to the next, as a logarithm of density: finer ones say the same twice. @default 0.15 */
  readonly step?: number;
  /** @default 12 */
  readonly most?: number;
}
export const DOSE_DEFAULTS = { step: 0.15, most: 12 } satisfies Required<DoseOptions>;

/** Levels of the histograms that stand for sorting. */
const LEVELS = 2048;
/** Density, natural logarithm, of the darkest level. */
const DEEPEST = 7;
/** Paler than this a pixel is hardly ink. */
const PALEST = 0.02;
/** What lies beyond these shares joins the outermost bins. */
const TAIL = 0.02;
/** A bin with a smaller share joins its neighbour. */
const LEAST_SHARE = 0.015;
/** A normal scatter has its tails of 2 % this many standard deviations apart. */
const TAILS_APART = 4.1;
/** About how linear signals add up to Y. */
const LUMINANCE = [0.25, 0.65, 0.1] as const;
/** docs/measures.md, `shading`: percentiles that stand for dark and light, and the points about them that are averaged. */
const ENDS = { dark: 0.1, light: 0.9, about: 0.025 } as const;

/**
 * Pixels are ordered by what smoothing leaves, so that noise does not sort them, and averaged as scanned. Scatter that the paper alone would
 * show makes no bins.
 */
export function regionDoses(pixels: CountedPixels, options: DoseOptions = {}): RegionDoses {
  const used = { ...DOSE_DEFAULTS, ...options };
  const levels = densityLevels(pixels);
  const edges = edgesOf(levels, pixels.paperNoise, used);
  return { bins: binsOf(levels, edges, pixels.paper), ...endsOf(pixels) };
}

interface Levels {
  /** Per level: pixels, clipped ones, and of the others the sums of ratio (three), density and its square. */
  readonly count: Float64Array;
  readonly clipped: Float64Array;
  readonly sums: Float64Array;
  readonly total: number;
}
const SUMS = 5;

function densityLevels({ ratio, smoothRatio, clipped: lost }: CountedPixels): Levels {
  const n = ratio.length / 3;
  const weights = contrastWeights(smoothRatio);
  const levels = {
    count: new Float64Array(LEVELS),
    clipped: new Float64Array(LEVELS),
    sums: new Float64Array(SUMS * LEVELS),
  };
  for (let from = 0; from < n; from += CHUNK) {
    addLevels(levels, ratio, smoothRatio, lost, weights, from, Math.min(n, from + CHUNK));
  }
  return { ...levels, total: n };
}

/** So many pixels at a time: what is called often is soon compiled, and stays so. */
const CHUNK = 1024;

function addLevels(
  { count, clipped, sums }: Omit<Levels, 'total'>,
  ratio: Float32Array,
  smoothRatio: Float32Array,
  lost: Uint8Array,
  weights: Triple,
  from: number,
  to: number,
): void {
  for (let k = from; k < to; k++) {
    const i = 3 * k;
    const left = weights[0] * smoothRatio[i] + weights[1] * smoothRatio[i + 1] + weights[2] * smoothRatio[i + 2];
    const density = Math.min(DEEPEST, Math.max(0, -Math.log(Math.max(left, 1e-3))));
    const level = Math.min(LEVELS - 1, Math.floor((density / DEEPEST) * LEVELS));
    count[level]++;
    if (lost[k] !== 0) {
      clipped[level]++;
      continue;
    }
    const at = SUMS * level;
    sums[at] += ratio[i];
    sums[at + 1] += ratio[i + 1];
    sums[at + 2] += ratio[i + 2];
    sums[at + 3] += density;
    sums[at + 4] += density * density;
  }
}

/** Weights, sum 1, of the channels by how much the ink takes away in each: yellow ink is told by blue. */
function contrastWeights(ratio: Float32Array): [number, number, number] {
  const sum = new Float64Array(3);
  for (let from = 0; from < ratio.length; from += 3 * CHUNK) {
    addTriples(sum, ratio, from, Math.min(ratio.length, from + 3 * CHUNK));
  }
  const away = sum.map((s) => Math.max(1e-3, 1 - s / (ratio.length / 3)));
  const all = away[0] + away[1] + away[2];
  return [away[0] / all, away[1] / all, away[2] / all];
}

/** First level of each bin but the palest. */
function edgesOf({ count, total }: Levels, paperNoise: number, { step, most }: Required<DoseOptions>): number[] {
  const at = (share: number): number => {
    let passed = 0;
    for (let level = 0; level < LEVELS; level++) {
      passed += count[level];
      if (passed >= share * total) return densityOf(level);
    }
    return DEEPEST;
  };
  const from = Math.max(PALEST, at(TAIL));
  const to = Math.max(from, at(1 - TAIL));
  const noise = (TAILS_APART * paperNoise) / Math.sqrt(from * to);
  const span = Math.log(to / from);
  const bins = Math.min(most, Math.max(1, Math.floor(Math.sqrt(Math.max(0, span * span - noise * noise)) / step)));
  return Array.from({ length: bins - 1 }, (_, b) =>
    Math.round((from * Math.exp((span * (b + 1)) / bins) * LEVELS) / DEEPEST),
  );
}

function densityOf(level: number): number {
  return ((level + 0.5) / LEVELS) * DEEPEST;
}

interface Gathered {
  count: number;
  clipped: number;
  readonly sums: number[];
}

function binsOf({ count, clipped, sums, total }: Levels, edges: readonly number[], paper: Triple): DoseBin[] {
  const bins: Gathered[] = [];
  [0, ...edges].forEach((from, b) => {
    const bin: Gathered = { count: 0, clipped: 0, sums: [0, 0, 0, 0, 0] };
    for (let level = from; level < (edges[b] ?? LEVELS); level++) {
      bin.count += count[level];
      bin.clipped += clipped[level];
      for (let s = 0; s < SUMS; s++) bin.sums[s] += sums[SUMS * level + s];
    }
    bins.push(bin);
  });
  return merged(bins, LEAST_SHARE * total).map(({ count: all, clipped: lost, sums: [r, g, b, d, dd] }): DoseBin => {
    const n = Math.max(1, all - lost);
    const mean = d / n;
    return {
      signal: [(r / n) * paper[0], (g / n) * paper[1], (b / n) * paper[2]],
      share: all / total,
      spread: Math.sqrt(Math.max(0, dd / n - mean * mean)) / Math.max(mean, 1e-3),
      clippedShare: all === 0 ? 0 : lost / all,
    };
  });
}

/** Bins of fewer pixels than `least`, clipped ones aside, join the next one, the last the one before. */
function merged(bins: readonly Gathered[], least: number): Gathered[] {
  const out: Gathered[] = [];
  for (const bin of bins) {
    const last = out.at(-1);
    if (last && last.count - last.clipped < least) add(last, bin);
    else out.push(bin);
  }
  const last = out.at(-1);
  const before = out.at(-2);
  if (last && before && last.count - last.clipped < least) {
    add(before, last);
    out.pop();
  }
  return out;
}

function add(to: Gathered, from: Gathered): void {
  to.count += from.count;
  to.clipped += from.clipped;
  from.sums.forEach((v, s) => (to.sums[s] += v));
}

function endsOf({ smoothRatio, paper }: CountedPixels): { dark: Triple; light: Triple } {
  const n = smoothRatio.length / 3;
  const sums = new Float64Array(4 * LEVELS);
  for (let from = 0; from < n; from += CHUNK) addLight(sums, smoothRatio, paper, from, Math.min(n, from + CHUNK));
  const about = (percentile: number): Triple => {
    const [from, to] = [(percentile - ENDS.about) * n, (percentile + ENDS.about) * n];
    const sum = [0, 0, 0];
    let used = 0;
    let passed = 0;
    for (let at = 0; at < sums.length && passed < to; at += 4) {
      const next = passed + sums[at];
      const inside = Math.min(next, to) - Math.max(passed, from);
      if (inside > 0) {
        const share = inside / sums[at];
        for (let c = 0; c < 3; c++) sum[c] += share * sums[at + 1 + c];
        used += inside;
      }
      passed = next;
    }
    const mean = (c: 0 | 1 | 2): number => Math.max(0, (sum[c] / used) * paper[c]);
    return [mean(0), mean(1), mean(2)];
  };
  return { dark: about(ENDS.dark), light: about(ENDS.light) };
}

/** Pixels and sums of their three ratios by levels of light. */
function addLight(sums: Float64Array, ratio: Float32Array, paper: Triple, from: number, to: number): void {
  const red = LUMINANCE[0] * paper[0];
  const green = LUMINANCE[1] * paper[1];
  const blue = LUMINANCE[2] * paper[2];
  const white = red + green + blue;
  for (let k = from; k < to; k++) {
    const i = 3 * k;
    const y = red * ratio[i] + green * ratio[i + 1] + blue * ratio[i + 2];
    // By the square root, so that dark inks have levels enough.
    const share = Math.sqrt(Math.max(0, y / white));
    const at = 4 * Math.min(LEVELS - 1, Math.floor((share / 1.1) * LEVELS));
    sums[at]++;
    sums[at + 1] += ratio[i];
    sums[at + 2] += ratio[i + 1];
    sums[at + 3] += ratio[i + 2];
  }
}
