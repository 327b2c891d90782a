/**
 * Where there is ink, told on squares of some 300 an inch (coarseRatio.ts): distance from the local paper along the direction in which ink and
 * paper differ most, in linear signals (docs/measures.md, "Writing samples"). Luminance alone would miss yellow ink on grey paper.
 */
import { dropBorderSlivers } from './borderSlivers.ts';
import { type CoarseMaximum, coarseMaximum } from '../raster/coarseMaximum.ts';
import { components } from '../raster/components.ts';
import { growFrom } from '../raster/hysteresis.ts';
import { dropSmallComponents } from '../raster/smallComponents.ts';
import { gaussianSmooth } from '../raster/gaussian.ts';
import { otsuThreshold } from '../raster/otsu.ts';
import type { Mask } from '../raster/raster.ts';
import { selectKth } from '../raster/select.ts';
import type { CoarseRatio } from './coarseRatio.ts';
import { dropCreases } from './creases.ts';
import { type Breadth, setOtherBreadthsAside } from './otherBreadths.ts';
import { setOtherMarksAside } from './otherMarks.ts';
import { triple } from '../triple.ts';

export interface InkOptions {
  /** Components below this area are dust, mm². @default 0.02 */
  readonly minAreaMm2?: number;
  /** Contrast must exceed this many standard deviations of the paper. @default 5 */
  readonly minSigmas?: number;
  /** How far around a pixel its stroke's own core is looked for, mm. @default 0.5 */
  readonly coreReachMm?: number;
  /** Ink of another breadth is set aside; null: whatever its breadth, it counts. @default null */
  readonly breadth?: Breadth | null;
}
export const INK_DEFAULTS = {
  minAreaMm2: 0.02,
  minSigmas: 5,
  coreReachMm: 0.5,
  breadth: null,
} satisfies Required<InkOptions>;

/** A core that is this many times the usual one is two layers of ink. */
const MOST_ABOVE_USUAL = 1.3;
/** Smaller pieces without a core of their own are a stroke's pale ends, mm². */
const STRAY_MM2 = 0.3;
/** On squares a speck may have lost some of its area, which the pixels still have. */
const SPECK_ON_SQUARES = 0.5;

export interface CoarseInk {
  /** Squares that are ink, by their means. */
  readonly mask: Mask;
  /** Contrast of each square, lightly smoothed. */
  readonly smooth: Float32Array;
  /** The strokes' own cores about each square. */
  readonly core: CoarseMaximum;
  /** Median of the cores about what is ink. */
  readonly usual: number;
  /** No more of a core than this counts: beyond, strokes cross. */
  readonly most: number;
  /** Less contrast than this is none. */
  readonly low: number;
  readonly densest: Densest;
  /** Squares of ink that is not of the breadth asked for: neither the sample's nor paper. Null when there are none. */
  readonly aside: Mask | null;
  /** Pixels that stand out but have not the ink's colour, or not the breadth asked for. */
  readonly otherMarksPx: number;
}

/** Null when nothing stands out from the paper. @param pixelNoise Relative, per channel, of a pixel of bare paper. */
export function coarseInk(
  coarse: CoarseRatio,
  pixelNoise: readonly number[],
  used: Required<InkOptions>,
): CoarseInk | null {
  const { data: ratio, widthPx, heightPx, dpi, step } = coarse;
  const pxPerMm = dpi / 25.4;
  const densest = inkDirection(ratio, pixelNoise);
  if (densest === null) return null;
  const contrast = new Float32Array(widthPx * heightPx);
  for (let start = 0; start < contrast.length; start += widthPx) {
    writeContrast(ratio, densest.direction, contrast, start, start + widthPx);
  }
  // The mean over a square is as smooth as that.
  const smooth = step > 1 ? contrast : gaussianSmooth(contrast, widthPx, heightPx, SMOOTH_PX, contrast);
  takeOffNeutral(smooth, ratio, densest, pixelNoise);
  const noise = contrastNoise(densest, pixelNoise);
  // Otsu parts paper from the ink as a whole; strokes of a quarter of its level still seed, so that pale ones beside dark count.
  const seed = Math.max(1.5 * used.minSigmas * noise, 0.05, 0.25 * otsuThreshold(thinnedOut(smooth)));
  const low = Math.max(used.minSigmas * noise, 0.03, 0.4 * seed);
  // Each pixel against the core of its own stroke: pale and dark strokes keep their edges where the fall is half.
  const core = coarseMaximum(smooth, widthPx, heightPx, Math.max(2, Math.round(used.coreReachMm * pxPerMm)));
  const strayPx = STRAY_MM2 * pxPerMm * pxPerMm;
  const grow = (): Uint8Array => growFrom(smooth, widthPx, heightPx, seed, low);
  const sift = (grown: Uint8Array): Pick<CoarseInk, 'mask' | 'usual' | 'aside' | 'otherMarksPx'> => {
    // Where strokes of a pale ink cross, the core is twice theirs: it must not take them off on its sides.
    const usual = usualCore(core, grown, coarse);
    dropCoreless(grown, core, seed, coarse, strayPx);
    dropBelowHalf(grown, smooth, core, MOST_ABOVE_USUAL * usual, coarse);
    const mask: Mask = { data: grown, widthPx, heightPx };
    const leastMm2 = used.minAreaMm2 * (step > 1 ? SPECK_ON_SQUARES : 1);
    dropSmallComponents(mask, leastMm2 * pxPerMm * pxPerMm);
    const aside = used.breadth === null ? null : setOtherBreadthsAside(mask, used.breadth, pxPerMm);
    const others =
      setOtherMarksAside(mask, ratio, smooth, dpi) + (aside === null ? 0 : sumOf(aside.data, 0, aside.data.length));
    return {
      mask,
      // Where much is set aside, what is left has a core of its own.
      usual: aside === null ? usual : usualCore(core, mask.data, coarse),
      aside,
      otherMarksPx: others * step * step,
    };
  };
  let found = sift(grow());
  // A crease that was too large a share to be set aside, or hangs on to strokes, has also passed for the usual core.
  if (dropCreases(found.mask.data, ratio, densest.lost, coarse, strayPx)) {
    const grown = grow();
    dropCreases(grown, ratio, densest.lost, coarse, strayPx);
    found = sift(grown);
  }
  if (dropBorderSlivers(found.mask, ratio, pxPerMm)) return coarseInk(coarse, pixelNoise, used);
  const most = MOST_ABOVE_USUAL * found.usual;
  return found.mask.data.includes(1) ? { ...found, smooth, core, most, low, densest } : null;
}

/** Sigma of what contrast is smoothed by before it is compared, px. */
export const SMOOTH_PX = 0.6;

/** Standard deviation of a pixel's contrast on bare paper. */
export function contrastNoise({ direction }: Densest, pixelNoise: readonly number[]): number {
  return Math.hypot(...direction.map((w, c) => w * pixelNoise[c]));
}

// Rows are worked on by functions of their own: what is called often is soon compiled, what loops over a whole region once when the region is nearly done.

/** Of pixels from … to: 0 on the paper, growing with ink. @param ratio Signal over paper, interleaved */
export function writeContrast(
  ratio: Float32Array,
  [red, green, blue]: Densest['direction'],
  contrast: Float32Array,
  from: number,
  to: number,
): void {
  const whole = red + green + blue;
  for (let i = from, k = 3 * from; i < to; i++, k += 3) {
    contrast[i] = whole - red * ratio[k] - green * ratio[k + 1] - blue * ratio[k + 2];
  }
}

/** Clears, in place, what reaches less than half of its core, of which no more than `most` counts. */
function dropBelowHalf(
  grown: Uint8Array,
  smooth: Float32Array,
  core: CoarseMaximum,
  most: number,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
): void {
  for (let y = 0; y < heightPx; y++) dropInRow(grown, smooth, core, most, y, widthPx);
}

function dropInRow(
  grown: Uint8Array,
  smooth: Float32Array,
  { data, shift, width }: CoarseMaximum,
  most: number,
  y: number,
  widthPx: number,
): void {
  const row = (y >> shift) * width;
  for (let x = 0, i = y * widthPx; x < widthPx; x++, i++) {
    if (grown[i] === 0) continue;
    const own = data[row + (x >> shift)];
    if (smooth[i] < 0.5 * (own < most ? own : most)) grown[i] = 0;
  }
}

type Vector = readonly [number, number, number];

export interface Densest {
  readonly direction: Vector;
  /** Light that the densest pixels take, a share per channel. */
  readonly lost: Vector;
}

/** An ink that takes less of one channel than this share of what it takes of another leaves the former to tell shade from ink. */
const CLEAR_CHANNEL = 0.25;
/** … and shade below this is none; it also exceeds so many standard deviations of the paper. */
const LEAST_SHADE = 0.02;
const SHADE_SIGMAS = 5;

/** A clear ink (yellow) leaves one channel alone: what darkens that one is a crease or a pencil's line, not ink. */
export interface ClearChannel {
  readonly clear: number;
  readonly main: number;
  /** What the ink takes of the clear channel, of what it takes of the main one. */
  readonly share: number;
  /** Less shade than this is none. */
  readonly least: number;
  /** Contrast that goes with shade. */
  readonly perShade: number;
}

/** Null of an ink that has none. */
export function clearChannel({ lost, direction }: Densest, noise: readonly number[]): ClearChannel | null {
  const clear = lost.indexOf(Math.min(...lost));
  const main = lost.indexOf(Math.max(...lost));
  const share = Math.max(0, lost[clear]) / lost[main];
  if (share > CLEAR_CHANNEL) return null;
  const least = Math.max(LEAST_SHADE, SHADE_SIGMAS * noise[clear]);
  return { clear, main, share, least, perShade: direction[0] + direction[1] + direction[2] };
}

/** Contrast that is shade's. @param i The pixel's red. */
export function neutralContrast(
  ratio: Float32Array,
  i: number,
  { clear, main, share, least, perShade }: ClearChannel,
): number {
  const shade = 1 - ratio[i + clear] - share * Math.max(0, 1 - ratio[i + main]);
  return shade > least ? shade * perShade : 0;
}

/** In place. */
function takeOffNeutral(contrast: Float32Array, ratio: Float32Array, ink: Densest, noise: readonly number[]): void {
  const channel = clearChannel(ink, noise);
  if (channel === null) return;
  for (let from = 0; from < contrast.length; from += CHUNK) takeOff(contrast, ratio, channel, from);
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 512;

function takeOff(contrast: Float32Array, ratio: Float32Array, channel: ClearChannel, from: number): void {
  for (let i = from, end = Math.min(contrast.length, from + CHUNK); i < end; i++) {
    contrast[i] -= neutralContrast(ratio, 3 * i, channel);
  }
}

/** A histogram of some hundred thousand pixels has the shape of all. */
const ENOUGH = 300_000;

function thinnedOut(values: Float32Array): Float32Array {
  const stride = Math.floor(values.length / ENOUGH);
  if (stride < 2) return values;
  const some = new Float32Array(Math.floor(values.length / stride));
  for (let from = 0; from < some.length; from += CHUNK) everySo(values, stride, some, from);
  return some;
}

function everySo(values: Float32Array, stride: number, out: Float32Array, from: number): void {
  for (let k = from, end = Math.min(out.length, from + CHUNK); k < end; k++) out[k] = values[k * stride];
}

/** Weights per channel such that contrast is 1 at the densest ink; null when nothing stands out. */
function inkDirection(ratio: Float32Array, noise: readonly number[]): Densest | null {
  const n = ratio.length / 3;
  const perNoise = triple((c) => 1 / noise[c]);
  // The densest fiftieth, but not the outermost few pixels (a hair, a speck).
  // Percentiles of some tens of thousands of pixels do.
  const stride = Math.max(1, Math.floor(n / 40_000));
  const strengths = new Float32Array(Math.ceil(n / stride));
  const step = 3 * stride;
  for (let at = 0; at < strengths.length; at += CHUNK) writeStrengths(ratio, step, perNoise, strengths, at);
  const from = selectKth(strengths, strengths.length, Math.floor(strengths.length * 0.98));
  const to = selectKth(strengths, strengths.length, Math.floor(strengths.length * 0.999));
  // Four times as many for the mean, which is that of some thousand pixels then.
  const sums = new Float64Array(4);
  const finer = 3 * Math.max(1, Math.floor(stride / 4));
  for (let at = 0; at < ratio.length; at += CHUNK * finer) addBetween(ratio, at, finer, perNoise, from, to, sums);
  const mean = [sums[0], sums[1], sums[2]];
  const count = sums[3];
  if (count === 0) return null;
  const weights = mean.map((m, c) => Math.max(0, m / count) / (noise[c] * noise[c]));
  const unit = weights.reduce((sum, w, c) => sum + (w * mean[c]) / count, 0);
  if (!(unit > 0)) return null;
  const direction = triple((c) => weights[c] / unit);
  // unit = Σ (m/σ)²: the squared distance of the densest pixels from paper in standard deviations. The densest fiftieth
  // of pure noise reaches about 4.
  return Math.sqrt(unit) > 8 ? { direction, lost: triple((c) => mean[c] / count) } : null;
}

/** How far every so many-th pixel is darker than paper, in standard deviations. */
function writeStrengths(
  ratio: Float32Array,
  step: number,
  [red, green, blue]: Vector,
  out: Float32Array,
  at: number,
): void {
  for (let k = at, i = at * step, end = Math.min(out.length, at + CHUNK); k < end; k++, i += step) {
    const r = 1 - ratio[i];
    const g = 1 - ratio[i + 1];
    const b = 1 - ratio[i + 2];
    out[k] = (r > 0 ? r * red : 0) + (g > 0 ? g * green : 0) + (b > 0 ? b * blue : 0);
  }
}

/** Light that those of such strengths take, three channels, and how many they are, onto the sums. */
function addBetween(
  ratio: Float32Array,
  at: number,
  step: number,
  [red, green, blue]: Vector,
  from: number,
  to: number,
  sums: Float64Array,
): void {
  let count = 0;
  for (let i = at, end = Math.min(ratio.length, at + CHUNK * step); i < end; i += step) {
    const r = 1 - ratio[i];
    const g = 1 - ratio[i + 1];
    const b = 1 - ratio[i + 2];
    // As the others were rounded: on a small region they are these very pixels.
    const strength = Math.fround((r > 0 ? r * red : 0) + (g > 0 ? g * green : 0) + (b > 0 ? b * blue : 0));
    if (strength < from || strength > to) continue;
    count++;
    sums[0] += r;
    sums[1] += g;
    sums[2] += b;
  }
  sums[3] += count;
}

/** What hangs on to strokes but is far from any core over a good area (a crease, a print too faint to be told) is none of them. */
function dropCoreless(
  grown: Uint8Array,
  core: CoarseMaximum,
  seed: number,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  leastPx: number,
): void {
  const data = new Uint8Array(grown.length);
  let coreless = 0;
  for (let y = 0; y < heightPx; y++) coreless += markCoreless(grown, core, seed, data, y, widthPx);
  if (coreless === 0) return;
  for (const { area, runs } of components({ data, widthPx, heightPx })) {
    if (area < leastPx) continue;
    for (let r = 0; r < runs.length; r += 3) {
      grown.fill(0, runs[r] * widthPx + runs[r + 1], runs[r] * widthPx + runs[r + 2] + 1);
    }
  }
}

/** @returns how many there are in the row */
function markCoreless(
  grown: Uint8Array,
  core: CoarseMaximum,
  seed: number,
  out: Uint8Array,
  y: number,
  widthPx: number,
): number {
  const row = (y >> core.shift) * core.width;
  let count = 0;
  for (let x = 0, i = y * widthPx; x < widthPx; x++, i++) {
    if (grown[i] === 0 || core.data[row + (x >> core.shift)] >= seed) continue;
    out[i] = 1;
    count++;
  }
  return count;
}

/** Median of the cores about the pixels found so far, of some tens of thousands. */
function usualCore(core: CoarseMaximum, found: Uint8Array, { widthPx }: { readonly widthPx: number }): number {
  let count = 0;
  for (let start = 0; start < found.length; start += widthPx) count += sumOf(found, start, start + widthPx);
  const stride = Math.max(1, Math.floor(count / 20_000));
  const sample = new Float32Array(Math.ceil(count / stride));
  let passed = 0;
  for (let y = 0, start = 0; start < found.length; y++, start += widthPx) {
    passed = sampleRow(found, start, widthPx, core, (y >> core.shift) * core.width, passed, stride, sample);
  }
  return sample.length === 0 ? 0 : selectKth(sample, sample.length, sample.length >> 1);
}

function sumOf(values: Uint8Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += values[i];
  return sum;
}

/** Every so many-th found pixel's core. @returns the pixels passed so far */
function sampleRow(
  found: Uint8Array,
  start: number,
  widthPx: number,
  core: CoarseMaximum,
  row: number,
  before: number,
  stride: number,
  out: Float32Array,
): number {
  let passed = before;
  for (let x = 0; x < widthPx; x++) {
    if (found[start + x] === 0) continue;
    if (passed % stride === 0) out[passed / stride] = core.data[row + (x >> core.shift)];
    passed++;
  }
  return passed;
}
