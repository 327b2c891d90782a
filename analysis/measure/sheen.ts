/**
 * Sheen: densest ink that has left the ink's own path from thin to thick toward another hue, since crystals on top reflect light that the ink takes
 * away. A flatbed looks past most of it, so what is found is a lower bound.
 */
import { labMetric } from '../calibrate/colourMetric.ts';
import { type LabD50, labD50, type Xyz, xyzToLab } from '../colour/lab.ts';
import { xyzToLabArray } from '../colour/labArrays.ts';
import type { Flag, LabValue, Quantity, Subject } from '../quantity.ts';
import { deviation } from '../scatter.ts';
import { nextRandom, randomState } from '../seededRandom.ts';
import { triple } from '../triple.ts';
import type { InkPath } from './inkPath.ts';
import type { Blocks } from './measuredColour.ts';
import { pathBesideSheen } from './sheenPath.ts';
import { combine } from './uncertainty.ts';
import { verdict } from './verdict.ts';

export const SHEEN_METHOD = 'sheen/12';
/** %; common practice, no source. */
export const SHEEN_LIMITS = [1, 10, 30] as const;

export interface SheenOptions {
  /** How far off the path ink counts as sheen, ΔE00. @default 3 */
  readonly offDE?: number;
  /** Share of the ink, the palest, that cannot be sheen. @default 0.4 */
  readonly palest?: number;
  /** Of the distance from the path at least this share must be in a* and b*: sheen is another hue, not mere lightness. @default 0.7 */
  readonly chromatic?: number;
  /** Of the light that sheen adds near by a pixel must have this share: blur leaves the half of a patch's light at its rim. @default 0.5 */
  readonly rim?: number;
}
export const SHEEN_DEFAULTS = { offDE: 3, palest: 0.4, chromatic: 0.7, rim: 0.5 } satisfies Required<SheenOptions>;

/** Steps of the path that a pixel is held against. */
const STEPS = 160;
/** The path is held this far beyond its densest colour. */
const BEYOND = 1.15;
/** Of the densest's depth so much is dense enough, however much of the ink is denser: of one dose throughout any part may have sheen. */
const DENSE = 0.5;
/** Fewer pixels than this off the path have no direction of their own. */
const LEAST = 20;
/** Nearer to the path than this, ΔE00, nothing is looked at. */
const NEAR_DE = 2;
/** The path may lie this share of the limit beside the ink's own: most with inks that turn from blue to black as they get denser (study writing). */
const PATH_DOUBT = 0.2;
/** And so much more of it where colours lie on the side where sheen cannot be (sheenPath.ts). */
const BENT_DOUBT = 0.4;
/** Of what lies only a little off on sheen's side so much may be sheen that bends the path. */
const SLIGHT = 0.3;
/** So much may hide where a path turns to where sheen leads, %: tuned, up to 6.3 were found in swabs that told none (decision 0041). */
const TURNED_PERCENT = 3.5;
/** Share of colours on the wrong side from which on that counts whole. */
const WRONG_SIDE = 0.005;
/** Within so many standard deviations of the blur one patch's light reaches. */
const REACH = 2;
/** A patch's own rim is where its light is half of the most, within this share: small ones peak lower than broad ones. */
const RIM_DOUBT = 0.4;
/** Of samples without sheen so much leaves the path all the same, %: ink beside gaps where paper shows through, or denser than the path reaches. */
const OTHER_PERCENT = 0.1;
const DRAWS = 100;

export interface Sheen {
  readonly quantity: Quantity;
  /** Which of the given pixels are sheen. */
  readonly pixels: Int32Array;
  /** Not 0 of each given pixel that sheen's light reaches, however little; null where there is no sheen. */
  readonly near: Uint8Array | null;
}

/** Where the colours lie, so that neighbours are known. */
export interface SheenPlace {
  /** Of each colour its pixel in the region. */
  readonly indices: Int32Array;
  readonly widthPx: number;
  /** Side of the square that each pixel stands for, px. */
  readonly stepPx: number;
  /** Standard deviation of the scanner's blur, px. */
  readonly blurPx: number;
}

export interface SheenInput {
  /** Interleaved, one triple a counted pixel, as scanned: smoothed, a small patch is gone or broader than it is. */
  readonly xyz: Float32Array;
  /** Of the bare paper. */
  readonly paper: Xyz;
  readonly place: SheenPlace;
  /** Pixels of the region whose colours are not good enough for it. */
  readonly leftOut?: ReadonlySet<number>;
}

/** @param flags What is known of the region. */
export function measureSheen(
  { xyz, paper, place, leftOut }: SheenInput,
  blocks: Blocks,
  subject: Subject,
  flags: readonly Flag[],
  seed: number,
  options: SheenOptions = {},
): Sheen {
  const used = { ...SHEEN_DEFAULTS, ...options };
  const n = xyz.length / 3;
  // Colours at half the resolution are mixtures of ink and paper along every rim: of ink without sheen up to 41 % left the path.
  const taught = flags.includes('lossy') ? null : pathBesideSheen(xyz, paper);
  const quantity = { quantity: 'sheen', subject, unit: '%', limits: SHEEN_LIMITS, method: SHEEN_METHOD } as const;
  if (taught === null) {
    const why: Flag[] = ['lower-bound', 'cannot-tell'];
    return {
      quantity: { ...quantity, value: null, u: null, flags: [...flags, ...why] },
      pixels: new Int32Array(0),
      near: null,
    };
  }
  const { path, wrongSide, towardSheen, turned } = taught;
  const all = offPath(xyz, path, paper, used);
  const off = leftOut?.size ? all.filter(({ pixel }) => !leftOut.has(place.indices[pixel])) : all;
  const way = commonWay(off);
  const rims = rimShares(off, way, place);
  // Noise lies on both sides of the path, sheen on one.
  const sides = (limit: number, rim: number): number[] =>
    off.map(({ v }, j) => {
      const side = sideOf(v, way, limit);
      return side === 1 && rims[j] < rim ? 0 : side;
    });
  const percent = (found: readonly number[]): number => Math.max(0, (100 * found.reduce((a, b) => a + b, 0)) / n);
  const found = sides(used.offDE, used.rim);
  const share = percent(found);
  const doubt = PATH_DOUBT + BENT_DOUBT * Math.min(1, wrongSide / WRONG_SIDE);
  const nearer = percent(sides((1 - doubt) * used.offDE, used.rim));
  const further = percent(sides((1 + doubt) * used.offDE, used.rim));
  // Of patches no larger than the blur all is rim.
  const [broad, small] = [1 - RIM_DOUBT, 1 + RIM_DOUBT].map((f) => percent(sides(used.offDE, f * used.rim)));
  // So few pixels are never looked at: that none were found does not say that none are there.
  const slight = SLIGHT * Math.max(0, 100 * towardSheen - share);
  const unseen = Math.hypot((100 * LEAST) / n, OTHER_PERCENT, slight, TURNED_PERCENT * turned);
  const parts = combine(
    Math.hypot(scatter(off, found, blocks, seed), unseen),
    (nearer - further) / 2,
    (broad - small) / 2,
  );
  return {
    quantity: {
      ...quantity,
      value: share,
      ...parts,
      verdict: verdict(share, parts.u, SHEEN_LIMITS),
      flags: [...flags, 'lower-bound'],
    },
    near: share > 2 * parts.u || share >= SHEEN_LIMITS[0] ? reached(off, way, place) : null,
    pixels: Int32Array.from(share > 0 ? off.filter((_, j) => found[j] === 1).map(({ pixel }) => pixel) : []),
  };
}

/** Squares by number, row by row. */
function cellsOf({ indices, widthPx, stepPx }: SheenPlace): {
  readonly across: number;
  readonly at: (pixel: number) => number;
} {
  const across = Math.ceil(widthPx / stepPx);
  return {
    across,
    at: (pixel) =>
      Math.floor(indices[pixel] / widthPx / stepPx) * across + Math.floor((indices[pixel] % widthPx) / stepPx),
  };
}

/** Steps from a square to all within so many of its sides. */
function disc(reach: number, across: number): readonly number[] {
  const out: number[] = [];
  for (let y = -Math.floor(reach); y <= reach; y++) {
    for (let x = -Math.floor(reach); x <= reach; x++) if (x * x + y * y <= reach * reach) out.push(y * across + x);
  }
  return out;
}

function reached(off: readonly OffPath[], way: LabValue, place: SheenPlace): Uint8Array {
  const { across, at } = cellsOf(place);
  const marked = new Set<number>();
  const steps = disc((REACH * place.blurPx) / place.stepPx, across);
  for (const { pixel, v } of off) {
    if (sideOf(v, way, NEAR_DE) === 1) for (const step of steps) marked.add(at(pixel) + step);
  }
  return Uint8Array.from(place.indices, (_, k) => (marked.has(at(k)) ? 1 : 0));
}

/** Of each pixel on sheen's side: its added light over the largest within the blur's reach. */
function rimShares(off: readonly OffPath[], way: LabValue, place: SheenPlace): Float64Array {
  const { across, at } = cellsOf(place);
  const light = new Map<number, number>();
  for (const { pixel, v, added } of off) if (sideOf(v, way, NEAR_DE) === 1) light.set(at(pixel), added);
  const near = disc((REACH * place.blurPx) / place.stepPx, across);
  return Float64Array.from(off, ({ pixel, added }) => {
    const cell = at(pixel);
    let most = added;
    for (const step of near) most = Math.max(most, light.get(cell + step) ?? 0);
    return added / most;
  });
}

interface OffPath {
  readonly pixel: number;
  /** Its way off the path, as (lightness, chroma, hue) parts in ΔE00. */
  readonly v: LabValue;
  /** Light beyond what the ink alone would leave, sum over X, Y and Z. */
  readonly added: number;
}

/** The few pixels that are far enough off the path, dense enough and of another hue. */
function offPath(
  xyz: Float32Array,
  path: InkPath,
  paper: Xyz,
  { palest, chromatic }: Required<SheenOptions>,
): OffPath[] {
  const n = xyz.length / 3;
  const last = path.to * BEYOND;
  const line = Array.from({ length: STEPS + 1 }, (_, s) => {
    const colour = path.xyzAt((s / STEPS) * last);
    const lab = xyzToLab(colour);
    return { lab, metric: labMetric(lab), deep: triple((c) => -Math.log(Math.max(1e-5, colour[c]) / paper[c])) };
  });
  const out: OffPath[] = [];
  const least = leastDepth(xyz, path, palest);
  const labs = new Float32Array(3 * n);
  xyzToLabArray(xyz, labs);
  const steps = depthSteps(xyz, path, last);
  const nearby = nearPath(labs, steps, line);
  for (let k = 0; k < n; k++) {
    // The nearest of the path is no further than this one: nearly all ink is done with here.
    if (nearby[k]) continue;
    const colour = at(xyz, k);
    const deepest = deepestOf(colour);
    if (deepest < least) continue;
    const lab = labD50(labs[3 * k], labs[3 * k + 1], labs[3 * k + 2]);
    let step = steps[k];
    let d = away(lab, step);
    // Downhill from the depth that the colour has by itself; sheen's nearest lies paler.
    for (const turn of [-1, 1]) {
      for (let next = step + turn; next >= 0 && next <= STEPS; next += turn) {
        const dNext = away(lab, next);
        if (dNext >= d) break;
        [step, d] = [next, dNext];
      }
    }
    const v = vector(lab, step);
    if (d < NEAR_DE || Math.hypot(v[1], v[2]) < chromatic * d) continue;
    const own = path.xyzAt(deepest);
    out.push({ pixel: k, v, added: Math.max(1e-9, colour[0] + colour[1] + colour[2] - own[0] - own[1] - own[2]) });
  }
  return out;

  function vector(lab: LabD50, step: number): LabValue {
    const { lab: p, metric: m } = line[step];
    const [dL, da, db] = [lab[0] - p[0], lab[1] - p[1], lab[2] - p[2]];
    return [m[0] * dL, m[4] * da + m[5] * db, m[7] * da + m[8] * db];
  }

  function away(lab: LabD50, step: number): number {
    const [x, y, z] = vector(lab, step);
    return Math.sqrt(x * x + y * y + z * z);
  }

  /** Sheen only adds light: of the depths that X, Y and Z tell each by itself the deepest is nearest to the ink's own. */
  function deepestOf(colour: Xyz): number {
    let deepest = 0;
    for (let c = 0; c < 3; c++) {
      const a = -Math.log(Math.max(1e-5, colour[c]) / paper[c]);
      let [low, high] = [0, STEPS];
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (line[middle].deep[c] < a) low = middle;
        else high = middle;
      }
      deepest = Math.max(deepest, (low / STEPS) * last);
    }
    return deepest;
  }
}

/** The step of the path that each colour has by its own depth. */
function depthSteps(xyz: Float32Array, path: InkPath, last: number): Uint8Array {
  const out = new Uint8Array(xyz.length / 3);
  const { paper, way } = path;
  const [red, green, blue] = triple((c) => (way[c] * STEPS) / last);
  const [x, y, z] = triple((c) => 1 / paper[c]);
  for (let from = 0; from < out.length; from += CHUNK) {
    tellSteps(xyz, [red, green, blue], [x, y, z], from, Math.min(out.length, from + CHUNK), out);
  }
  return out;
}

/** So many pixels at a time: what is called often is soon compiled, and stays so. */
const CHUNK = 1024;

function tellSteps(
  xyz: Float32Array,
  [red, green, blue]: LabValue,
  [x, y, z]: LabValue,
  from: number,
  to: number,
  out: Uint8Array,
): void {
  for (let k = from, i = 3 * from; k < to; k++, i += 3) {
    const depth =
      red * Math.log(Math.max(1e-5, xyz[i]) * x) +
      green * Math.log(Math.max(1e-5, xyz[i + 1]) * y) +
      blue * Math.log(Math.max(1e-5, xyz[i + 2]) * z);
    out[k] = Math.min(STEPS, Math.max(0, Math.round(-depth)));
  }
}

/** 1 where a colour lies near the path's colour at its step. */
function nearPath(
  labs: Float32Array,
  steps: Uint8Array,
  line: readonly { readonly lab: LabD50; readonly metric: readonly number[] }[],
): Uint8Array {
  // Per step its Lab and the five entries of the metric that are not 0.
  const table = Float64Array.from(line.flatMap(({ lab, metric: m }) => [...lab, m[0], m[4], m[5], m[7], m[8]]));
  const out = new Uint8Array(steps.length);
  for (let from = 0; from < out.length; from += CHUNK) {
    markNear(labs, steps, table, from, Math.min(out.length, from + CHUNK), out);
  }
  return out;
}

function markNear(
  labs: Float32Array,
  steps: Uint8Array,
  table: Float64Array,
  from: number,
  to: number,
  out: Uint8Array,
): void {
  for (let k = from, i = 3 * from; k < to; k++, i += 3) {
    const t = 8 * steps[k];
    const a = labs[i + 1] - table[t + 1];
    const b = labs[i + 2] - table[t + 2];
    const dL = table[t + 3] * (labs[i] - table[t]);
    const dC = table[t + 4] * a + table[t + 5] * b;
    const dH = table[t + 6] * a + table[t + 7] * b;
    if (dL * dL + dC * dC + dH * dH < NEAR_DE * NEAR_DE) out[k] = 1;
  }
}

function leastDepth(xyz: Float32Array, path: InkPath, palest: number): number {
  const n = xyz.length / 3;
  const stride = Math.max(1, Math.floor(n / 5000));
  const depths = Float64Array.from({ length: Math.ceil(n / stride) }, (_, j) =>
    path.depthOf(at(xyz, j * stride)),
  ).sort();
  return Math.min(DENSE * path.to, depths[Math.floor(palest * (depths.length - 1))]);
}

/** Mean direction of what lies off the path: length 1, or 0 where nothing does. Pixels count by their distance beyond what noise may be. */
function commonWay(off: readonly OffPath[]): LabValue {
  const sum = [0, 0, 0];
  for (const { v } of off) {
    const d = Math.hypot(...v);
    for (let c = 0; c < 3; c++) sum[c] += (v[c] / d) * (d - NEAR_DE);
  }
  const length = Math.hypot(sum[0], sum[1], sum[2]);
  return off.length < LEAST || length === 0 ? [0, 0, 0] : triple((c) => sum[c] / length);
}

/** 1 beyond the limit along the common way, −1 beyond it the other way. */
function sideOf([x, y, z]: LabValue, way: LabValue, limit: number): -1 | 0 | 1 {
  const d = Math.hypot(x, y, z);
  if (d < limit) return 0;
  const along = (x * way[0] + y * way[1] + z * way[2]) / d;
  return along > 0.5 ? 1 : along < -0.5 ? -1 : 0;
}

/** Standard deviation of the share over blocks drawn anew. */
function scatter(off: readonly OffPath[], sides: readonly number[], blocks: Blocks, seed: number): number {
  const sum = new Float64Array(blocks.count);
  const size = new Float64Array(blocks.count);
  countInto(size, blocks.of);
  off.forEach(({ pixel }, j) => (sum[blocks.of[pixel]] += sides[j]));
  const random = randomState(seed);
  return deviation(Array.from({ length: DRAWS }, () => drawnShare(sum, size, random)));
}

function countInto(size: Float64Array, of: Int32Array): void {
  for (let k = 0; k < of.length; k++) size[of[k]]++;
}

/** %, of blocks drawn anew. */
function drawnShare(sum: Float64Array, size: Float64Array, random: Int32Array): number {
  let [s, n] = [0, 0];
  for (let k = 0; k < sum.length; k++) {
    const b = Math.floor(nextRandom(random) * sum.length);
    s += sum[b];
    n += size[b];
  }
  return Math.max(0, (100 * s) / Math.max(1, n));
}

function at(xyz: Float32Array, k: number): Xyz {
  return [xyz[3 * k], xyz[3 * k + 1], xyz[3 * k + 2]];
}
