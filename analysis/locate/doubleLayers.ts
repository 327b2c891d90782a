/**
 * Strokes drawn back over themselves (the stems of m, n, u; the start of a, d, g) lie exactly on one another: the skeleton
 * shows where they part, not how far they stay together. From there the doubled ink is followed by its density.
 */
import { gaussianSmooth } from '../raster/gaussian.ts';
import type { Ink } from './inkMask.ts';

/**
 * Where between single (0) and doubled (1) density the limit lies. What doubled ink reads is learnt from the crossings
 * themselves: twice the ink is not twice the density once a channel is nearly dark.
 */
const LIMIT = 0.45;
/** Crossings less dense than this many times a single stroke do not tell one layer from two … */
const LEAST_STEP = 1.04;
/** … unless single strokes scatter so little that some are denser by this many of its standard deviations, as of near-black ink: most of its light is flare by then. */
const SPREADS = 3;
/** So large a share of the crossings' cores, at least. */
const LEAST_SHARE = 0.05;
/** Side of the tiles over which single strokes' density is compared, mm: two or three letters. */
const TILE_MM = 3;
/** Signal over paper below which a channel is noise and flare. */
const DARKEST = 0.004;

/** Ink this far between single and doubled is surely doubled where it begins abruptly … */
const SURELY = 0.65;
/** … which it does where from there to here, still single, there is no more than the blur: a pen's own ink thickens over millimetres. */
const SINGLE = 0.3;
/** Where the usual ink of a few letters is denser than the region's by more of its scatter than this, they may have been gone over whole (study writing). */
const UNLIKE_ALL = 3;
/** In widths of the edges' blur, and px. */
const ABRUPT_EDGES = 1.2;
const ABRUPT_PX = 1;

export interface KnownLayers {
  /** Per pixel (opticalDensity). */
  readonly density: Float32Array;
  /** What one layer has about a pixel, over two or three letters; 0 where nothing tells. */
  readonly single: (i: number) => number;
  /** How many times as dense two layers are. */
  readonly step: number;
}

/** How far a pixel lies between single (0) and doubled ink (1). */
type Between = (pixel: number) => number;

/**
 * Adds to `doubled`, in place, all ink that is as dense as two layers and hangs together with it, or begins abruptly.
 * @param ridge Pixels of the skeleton: where no knot of it tells of two passes (a stem gone over at the start of a word), they are looked at for such ink.
 * @returns null where nothing tells two layers from one
 */
export function growDoubleLayers(
  ink: Ink,
  doubled: Uint8Array,
  ridge: readonly number[],
  edgePx: number,
  pxPerMm: number,
): KnownLayers | null {
  if (!doubled.includes(1)) return null;
  const { widthPx: w, heightPx: h, data: mask } = ink.mask;
  const density = opticalDensity(ink);
  const single = singleDensity(ink, density, doubled, pxPerMm);
  const step = doubledStep(ink, density, doubled, single, pxPerMm);
  if (step === null) return null;
  const grown = new Uint8Array(mask.length);
  const fresh: number[] = [];
  const grow = (stack: readonly number[], between: Between): void => {
    const left = [...stack];
    for (const p of left) grown[p] = 1;
    while (left.length > 0) {
      const p = left.pop()!;
      if (!doubled[p]) fresh.push(p);
      for (const q of besides(p, w, h)) {
        if (grown[q] || mask[q] === 0 || between(q) <= LIMIT) continue;
        grown[q] = 1;
        left.push(q);
      }
    }
  };
  const core = coreDepth(ink, pxPerMm);
  const growAbrupt = (along: readonly number[], between: Between): void => {
    const looked = new Set<number>();
    for (const p of along) {
      if (doubled[p] || grown[p] || looked.has(p) || mask[p] === 0 || between(p) <= SURELY) continue;
      const dense = hangingTogether(p, w, h, (q) => !looked.has(q) && mask[q] === 1 && between(q) > SURELY);
      for (const q of dense) looked.add(q);
      const isBetween = (q: number) => ink.depthPx[q] >= core && mask[q] === 1 && between(q) > SINGLE;
      if (isAbrupt(dense, w, h, ABRUPT_EDGES * edgePx + ABRUPT_PX, isBetween)) grow([...dense], between);
    }
  };
  const besideNear: Between = (i) => (density[i] / single(i) - 1) / (step - 1);
  const known: number[] = [];
  for (let i = 0; i < mask.length; i++) if (doubled[i] && mask[i] === 1 && besideNear(i) > LIMIT) known.push(i);
  grow(known, besideNear);
  growAbrupt(ridge, besideNear);
  // Letters gone over whole leave hardly a single stroke near by: what lies about them is as dense as they.
  const common = commonDensity(ink, density, doubled, pxPerMm);
  const most = common.middle + Math.max(LIMIT * (step - 1) * common.middle, UNLIKE_ALL * common.below);
  const isGoneOver = (i: number) => single(i) > most && single(i) < Infinity;
  const besideAll: Between = (i) => (density[i] / common.middle - 1) / (step - 1);
  growAbrupt(ridge.filter(isGoneOver), besideAll);
  // Blur leaves a half-dense rim about the doubled ink.
  const rim = Math.ceil(edgePx / 2 + 0.5);
  for (const p of fresh) {
    const x = p % w;
    const y = (p - x) / w;
    for (let v = Math.max(0, y - rim); v <= Math.min(h - 1, y + rim); v++) {
      for (let u = Math.max(0, x - rim); u <= Math.min(w - 1, x + rim); u++) doubled[v * w + u] = 1;
    }
  }
  return {
    density,
    step,
    single: (i) => (isGoneOver(i) ? common.middle : single(i) < Infinity ? single(i) : 0),
  };
}

function besides(p: number, w: number, h: number): readonly number[] {
  const x = p % w;
  return [x > 0 ? p - 1 : p, x < w - 1 ? p + 1 : p, p >= w ? p - w : p, p < w * (h - 1) ? p + w : p];
}

function hangingTogether(from: number, w: number, h: number, belongs: (q: number) => boolean): Set<number> {
  const found = new Set([from]);
  for (const p of found) for (const q of besides(p, w, h)) if (belongs(q)) found.add(q);
  return found;
}

/** Whether what lies about the dense ink, from surely doubled to surely single, is no broader than so many px: mean breadth of that band. */
function isAbrupt(
  dense: ReadonlySet<number>,
  w: number,
  h: number,
  mostPx: number,
  isBetween: (q: number) => boolean,
): boolean {
  const band = new Set<number>();
  let front: readonly number[] = [...dense];
  let first = 0;
  const least = mostPx * mostPx;
  if (dense.size < least) return false;
  for (let round = 0; front.length > 0; round++) {
    const next = new Set(
      front.flatMap((p) => besides(p, w, h).filter((q) => !dense.has(q) && !band.has(q) && isBetween(q))),
    );
    for (const q of next) band.add(q);
    if (round === 0) first = next.size;
    if (band.size > mostPx * first) return false;
    front = [...next];
  }
  // Dense ink that ends nowhere within the ink is a stroke of its own.
  return first > 0;
}

/**
 * How many times as dense as single strokes the doubled cores are: upper quartile, since some junctions are mere touches; null where that does not tell one layer
 * from two.
 */
function doubledStep(
  ink: Ink,
  density: Float32Array,
  doubled: Uint8Array,
  single: (i: number) => number,
  pxPerMm: number,
): number | null {
  const core = coreDepth(ink, pxPerMm);
  const stepsOf = (layers: 0 | 1): Float64Array => {
    const steps: number[] = [];
    for (let i = 0; i < density.length; i++) {
      if (doubled[i] !== layers || ink.depthPx[i] < core || ink.mask.data[i] === 0) continue;
      const step = density[i] / single(i);
      if (step > 0) steps.push(step);
    }
    return Float64Array.from(steps).sort();
  };
  const twice = stepsOf(1);
  const step = twice[Math.floor(0.75 * twice.length)] ?? 1;
  if (step >= LEAST_STEP) return step;
  const { middle, below } = middleOf(stepsOf(0));
  const surely = middle + SPREADS * below;
  const denser = twice.filter((t) => t > surely);
  return denser.length < Math.max(LEAST_OF_STEP, LEAST_SHARE * twice.length) ? null : denser[denser.length >> 1];
}

/** Fewer denser pixels tell nothing (common practice, no source). */
const LEAST_OF_STEP = 20;

/** Median density of all strokes' cores, the known doubled ink left out, and how far one standard deviation lies below it. */
function commonDensity(
  ink: Ink,
  density: Float32Array,
  doubled: Uint8Array,
  pxPerMm: number,
): { middle: number; below: number } {
  const core = coreDepth(ink, pxPerMm);
  const cores: number[] = [];
  for (let i = 0; i < density.length; i++) {
    if (ink.depthPx[i] >= core && doubled[i] === 0 && ink.mask.data[i] === 1) cores.push(density[i]);
  }
  const stride = Math.ceil(cores.length / MOST_OF_REGION);
  const sorted = Float64Array.from(cores.filter((_, k) => k % stride === 0)).sort();
  return middleOf(sorted);
}

/** Median, and how far one standard deviation lies below it: above, there may be doubled ink that is not known yet. Infinity of nothing. */
function middleOf(sorted: Float64Array): { middle: number; below: number } {
  const middle = sorted[sorted.length >> 1] ?? Infinity;
  return { middle, below: middle - (sorted[Math.floor(0.16 * sorted.length)] ?? 0) };
}

/** A core lies this deep, or half as deep as the deepest ink: px, and as far in on finer scans, whose blur reaches over more pixels. */
const CORE_PX = 3;
const CORE_DPI = 300;

function coreDepth({ depthPx }: Ink, pxPerMm: number): number {
  const deep = CORE_PX * Math.max(1, (25.4 * pxPerMm) / CORE_DPI);
  let most = 0;
  for (let i = 0; i < depthPx.length && most < 2 * deep; i++) if (depthPx[i] > most) most = depthPx[i];
  return Math.min(deep, 0.5 * most);
}

/** Sum over the channels of −ln(signal over paper), lightly smoothed: rises with the amount of ink in whichever channel still can. */
export function opticalDensity(ink: Ink): Float32Array {
  const { widthPx, heightPx } = ink.mask;
  const density = new Float32Array(widthPx * heightPx);
  for (let i = 0; i < density.length; i++) {
    // Smoothing carries no further than this; beyond, nobody asks.
    if (ink.awayPx[i] > 4) continue;
    density[i] = -Math.log(held(ink.ratio[3 * i]) * held(ink.ratio[3 * i + 1]) * held(ink.ratio[3 * i + 2]));
  }
  return gaussianSmooth(density, widthPx, heightPx, 0.7, density);
}

function held(ratio: number): number {
  return ratio < DARKEST ? DARKEST : ratio > 1 ? 1 : ratio;
}

/** Median density of the strokes' cores in the tile of a pixel and its neighbours, the known doubled ink left out. */
export function singleDensity(
  ink: Ink,
  density: Float32Array,
  doubled: Uint8Array,
  pxPerMm: number,
): (i: number) => number {
  const { widthPx: w, heightPx: h } = ink.mask;
  const tilePx = Math.max(8, Math.round(TILE_MM * pxPerMm));
  const across = Math.ceil(w / tilePx);
  const down = Math.ceil(h / tilePx);
  const core = coreDepth(ink, pxPerMm);
  const tileOf = (i: number): number => Math.floor(Math.floor(i / w) / tilePx) * across + Math.floor((i % w) / tilePx);
  const counts = new Int32Array(across * down);
  const cores: number[] = [];
  for (let i = 0; i < density.length; i++) {
    if (ink.depthPx[i] < core || doubled[i] === 1 || ink.mask.data[i] === 0) continue;
    counts[tileOf(i)]++;
    cores.push(i);
  }
  const tiles: number[][] = Array.from(counts, () => []);
  const passed = new Int32Array(counts.length);
  for (const i of cores) {
    const t = tileOf(i);
    if (passed[t]++ % Math.ceil(counts[t] / MOST_OF_TILE) === 0) tiles[t].push(density[i]);
  }
  const medians = new Map<number, number>();
  return (i) => {
    const t = tileOf(i);
    let median = medians.get(t);
    if (median === undefined) {
      median = medianAbout(tiles, t % across, Math.floor(t / across), across, down);
      medians.set(t, median);
    }
    return median;
  };
}

/** So many cores of a tile tell its median: each is asked for nine times. */
const MOST_OF_TILE = 300;
/** So many of a region's tell its own. */
const MOST_OF_REGION = 10_000;

/** Over a tile and its neighbours; Infinity where there is next to nothing. */
function medianAbout(tiles: readonly (readonly number[])[], tx: number, ty: number, across: number, down: number) {
  const near: number[] = [];
  for (let y = Math.max(0, ty - 1); y <= Math.min(down - 1, ty + 1); y++) {
    for (let x = Math.max(0, tx - 1); x <= Math.min(across - 1, tx + 1); x++) near.push(...tiles[y * across + x]);
  }
  return near.length < 20 ? Infinity : Float64Array.from(near).sort()[near.length >> 1];
}
