/** Which pixels hold two whole layers of ink, told by how dense they are against single strokes near by. */
import { opticalDensity, singleDensity } from '../locate/doubleLayers.ts';
import type { Ink } from '../locate/inkMask.ts';
import { maskPixels } from '../raster/maskPixels.ts';
import type { Mask } from '../raster/raster.ts';
import { type InkSample, shallowestDepth } from './inkSample.ts';
import { nearSingles } from '../locate/nearSingles.ts';
import type { RegionInput } from './region.ts';

export interface TwoLayers {
  readonly core: Int32Array;
  readonly shifted: Int32Array;
  /** The same by a limit a little lower, and a little higher: paler pixels with two whole layers lie among pools of single ink. */
  readonly looser: Int32Array;
  readonly stricter: Int32Array;
  /** Standard deviation of their density, 1 being the second layer's own. */
  readonly unlike: number;
}

export interface TwoLayersOptions {
  readonly limit: number;
  readonly tooDense: number;
}

/** Fewer pixels with two whole layers than this tell no colour. */
export const LEAST_PIXELS = 6;
export const FEW_PIXELS = 60;
/** Crossings less dense than this many times a single stroke do not tell one layer from two (locate/doubleLayers.ts). */
const LEAST_STEP = 1.04;
/** Denser than this between single and doubled ink is doubled, not pooled. */
const SURELY = 0.65;
/** Less dense than this it is single. */
const ONCE = 0.35;
const ROUNDS = 3;
/** The limit is in doubt by so much. */
const LIMIT_DOUBT = 0.1;
/** Singles are known within their own scatter: what is denser by so many of its standard deviations is not one of them. */
const SPREADS = 4;

/**
 * Pixels with two whole layers, further inside than the edges' blur reaches, and the same with that edge moved by one pixel: inwards, or outwards where
 * nothing would be left. Null when crossings are no denser than strokes.
 *
 * Where a pen writes much paler and darker within a letter, most of what was left out as doubled are dark parts and touches, which by themselves would pass for two
 * layers. So single ink is known by what lies near, and what among the doubled is no denser than it is single, too.
 */
export function twoLayers(
  sample: InkSample,
  crossings: Mask,
  { signal: { dpi } }: RegionInput,
  options: TwoLayersOptions,
): TwoLayers | null {
  const { ink } = sample;
  // What counts beside two layers is among what is asked for here.
  const asked = new Set(sample.besideTwo);
  const indices = asked.size > 0 ? sample.indices.filter((i) => !asked.has(i)) : sample.indices;
  const pxPerMm = dpi / 25.4;
  const density = opticalDensity(ink);
  const far = singleDensity(ink, density, crossings.data, pxPerMm);
  const near = nearSingles(ink, density, indices, pxPerMm, far);
  const doubled = maskPixels(crossings).filter((i) => ink.mask.data[i] !== 0);
  const among = (single: (i: number) => number): Among => ({ ink, density, doubled, single, ...options });
  const first = denseFrom(among(near), firstStep(density, doubled, indices, near));
  if (first === null || first.core.length < LEAST_PIXELS) return first;
  const deep = shallowestDepth(sample.depths);
  const most = 1 + ONCE * (first.step - 1);
  const once = doubled.filter((i) => ink.depthPx[i] >= deep && density[i] < most * near(i));
  const singles = new Int32Array(indices.length + once.length);
  singles.set(indices);
  singles.set(once, indices.length);
  const second = denseFrom(among(nearSingles(ink, density, singles, pxPerMm, far)), first.step);
  return second ?? first;
}

interface Among extends TwoLayersOptions {
  readonly ink: Ink;
  readonly density: Float32Array;
  /** What was left out as doubled. */
  readonly doubled: Int32Array;
  /** Density of one layer there. */
  readonly single: (i: number) => number;
}

interface Found extends TwoLayers {
  /** How many times as dense as a single stroke two layers are. */
  readonly step: number;
}

/** @param start how many times as dense as a single stroke two layers are at first */
function denseFrom({ ink, density, doubled, single, limit, tooDense }: Among, start: number): Found | null {
  const { widthPx, data } = ink.mask;
  const clear = Math.max(1.5, (ink.edgeWidthPx ?? 2) / 2 + 0.5);
  const dense = new Uint8Array(data.length);
  let step = start;
  for (let round = 0; ; round++) {
    if (step < LEAST_STEP) return null;
    if (round === ROUNDS) {
      const [looser, stricter] = [limit - LIMIT_DOUBT, limit + LIMIT_DOUBT].map(denserThan);
      return { ...byLimit(), step, looser, stricter };
    }
    const core = denserThan(limit);
    if (core.length < LEAST_PIXELS) return { ...byLimit(), step, looser: core, stricter: core };
    // What doubled ink reads is learnt from the doubled ink: the first guess has edges and mere touches among it. Pools of single ink lie between the two, and
    // would draw it down to themselves round by round.
    const surely = 1 + SURELY * (step - 1);
    const steps = Float64Array.from(core, (i) => density[i] / single(i))
      .filter((s) => s > surely)
      .sort();
    if (steps.length >= LEAST_PIXELS) step = steps[steps.length >> 1];
  }

  function shareOf(i: number): number {
    return (density[i] / single(i) - 1) / (step - 1);
  }

  function denserThan(least: number): Int32Array {
    for (const i of doubled) dense[i] = shareOf(i) > least && shareOf(i) < tooDense ? 1 : 0;
    return deepInside(dense, doubled, widthPx, clear);
  }

  function byLimit(): Pick<TwoLayers, 'core' | 'shifted' | 'unlike'> {
    const core = denserThan(limit);
    const inner = deepInside(dense, core, widthPx, clear + 1);
    return {
      core,
      unlike: unlikeness(core, shareOf),
      shifted: inner.length >= LEAST_PIXELS ? inner : deepInside(dense, doubled, widthPx, clear - 0.75),
    };
  }
}

/** Half of what lies between the 16th and the 84th percentile. */
function unlikeness(core: Int32Array, shareOf: (i: number) => number): number {
  const shares = Float64Array.from(core, shareOf).sort();
  const at = (p: number): number => shares[Math.floor(p * (shares.length - 1))] ?? 0;
  return (at(0.84) - at(0.16)) / 2;
}

/** Of these pixels those with nothing but marked ones nearer than `clear`. */
function deepInside(marked: Uint8Array, among: Int32Array, widthPx: number, clear: number): Int32Array {
  const reach = Math.ceil(clear) - 1;
  const disc: number[] = [];
  for (let y = -reach; y <= reach; y++) {
    for (let x = -reach; x <= reach; x++) if (x * x + y * y < clear * clear) disc.push(y * widthPx + x);
  }
  // The raster's rim holds no crossing: its ink would have none beyond it.
  return among.filter((i) => disc.every((d) => marked[i + d] === 1));
}

/** How many times as dense as single strokes two layers seem to be: upper quartile of what is surely denser than those. */
function firstStep(
  density: Float32Array,
  doubled: Int32Array,
  singles: Int32Array,
  single: (i: number) => number,
): number {
  const own = Float64Array.from(singles, (i) => density[i] / single(i)).sort();
  const spread = ((own[Math.floor(0.84 * own.length)] ?? 1) - (own[Math.floor(0.16 * own.length)] ?? 1)) / 2;
  const surely = 1 + Math.max(LEAST_STEP - 1, SPREADS * spread);
  const steps = Float64Array.from(doubled, (i) => density[i] / single(i))
    .filter((step) => step > surely)
    .sort();
  return steps.length < LEAST_PIXELS ? 1 : steps[Math.floor(0.75 * steps.length)];
}
