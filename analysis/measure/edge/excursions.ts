/** Departures of the edges from their smooth paths: raggedness, hairs, and what of it is outward only. */
import { quantileOfSorted } from '../../quantile.ts';
import { selectKth } from '../../raster/select.ts';
import type { FoundEdge, FoundEdges } from './foundEdges.ts';
import { type HiddenHairs, hiddenHairs } from './hiddenHairs.ts';
import { lagSums, raggednessPx, responseOf, unseenVariance } from './raggedness.ts';
import { bootstrapDeviation, stretchesOf } from './stretches.ts';

export interface Raggedness {
  readonly px: number;
  readonly repeat: number;
  /** As scanned, the noise off: the difference is how much rests on the restoring. */
  readonly scannedPx: number;
  /** Variance of one station's edge by noise and grid, px². */
  readonly edgeNoise: number;
  /** Variance, px², that rests on waves too long or too short to be seen. */
  readonly unseen: { readonly long: number; readonly short: number };
}

export interface Feathering {
  readonly lengthPx: number;
  readonly repeat: number;
  /** 0 where there are too few to be more than chance. */
  readonly hairs: number;
  /** How many were found, chance or not. */
  readonly found: number;
  /** How many more could be hairs or the edges' own wander. */
  readonly aside: number;
  /** How many of those there are beyond what an edge's wander explains. */
  readonly asideBeyond: number;
  /** Of these all, how many are hardly longer than the shortest that the blur leaves to be seen: about as many shorter ones are hidden. */
  readonly short: number;
  /** How many more stand so near those found that they were seen as one with them. */
  readonly beside: HiddenHairs;
  readonly edgePx: number;
}

/** Raggedness is the ink's and the paper's, alike at every place, so it is read where the path swallows least of it: where half its window is at least so long (mm), or at the quarter of all places with the longest. */
const WIDE_MM = 1;
/** The spectrum's finest step is one over twice this, per mm. */
const LAGS_MM = 5;
/** Sub-pixel edges swing by so much with their phase on the pixel grid whatever the noise (standard deviation, px; study edges). */
const GRID_PX = 0.018;
/** Fewer hairs than these, or not more than chance puts there by so many standard deviations, are none: the edge is not feathered. */
const LEAST_HAIRS = 3;
const SURE = 3;
/** Smooth handwriting and rough edges show at most some 0.13 a cm (study edges); twice as many are allowed for. */
const CHANCE_PER_CM = 0.2;
const BESIDE_MM = 0.02;
/** A tip is found this well whatever its hair (standard deviation, px; study edges): it makes the longest look longer. */
const TIP_NOISE_PX = 0.15;
/** Hairs shorter than about one and a half sigma of the blur, or a pixel, are seldom seen; up to half as long again they count as short. */
const SHORT_SIGMAS = 2.25;
const SHORT_PX = 1.6;

/** @param noise Standard deviation of the contrast on bare paper. @param blurPx Sigma of the scanner along the edge. */
export function raggedness(
  found: FoundEdges,
  noise: number,
  blurPx: number,
  pxPerMm: number,
  seed: number,
): Raggedness | null {
  // The shortest waves that the blur leaves are seen at every pixel alone.
  const fine = found.strokes.filter(({ stroke }) => stroke.line.aimedStepPx === 1);
  const { of, count } = stretchesOf(
    fine.map(({ counted }) => counted.length),
    () => pxPerMm,
  );
  const coarse = Math.max(1, Math.round(0.2 * pxPerMm));
  const seen: Seen = { windows: new Map(), variance: 0, squares: 0, n: 0 };
  const own = fine.flatMap(({ stroke, left, right }, s) =>
    [left, right].map((edge) => ({ edge, values: departures(edge, stroke.inner), stretch: of[s] })),
  );
  const wide = Math.min(WIDE_MM * pxPerMm, widestQuarter(own));
  const edges = own.map(({ edge, values, stretch }) => {
    leaveOutNarrow(values, edge.path.halfStations, wide);
    addSeen(seen, values, edge, noise, coarse);
    return { values, stretch };
  });
  const { windows, variance, squares, n } = seen;
  if (n < 20) return null;
  const sums = lagSums(edges, count, lagsFor(edges, pxPerMm));
  const edgeNoise = variance / n + GRID_PX * GRID_PX;
  const response = responseOf({ noise: edgeNoise, blurPx, stepPx: 1, windows }, sums.lags);
  return {
    px: raggednessPx(sums, response, null),
    repeat: bootstrapDeviation(count, seed, (weight) => raggednessPx(sums, response, weight), 40),
    scannedPx: Math.sqrt(Math.max(0, squares / n - edgeNoise)),
    edgeNoise,
    unseen: unseenVariance(sums, response),
  };
}

interface Seen {
  /** How many places have each size of the path's window, half of it in stations. */
  readonly windows: Map<number, number>;
  variance: number;
  squares: number;
  n: number;
}

/** @param coarse A dozen sizes of window stand for all: multiples of this. */
function addSeen(seen: Seen, values: Float64Array, { path, side }: FoundEdge, noise: number, coarse: number): void {
  for (let i = 0; i < values.length; i++) {
    const v = values[i];
    if (Number.isNaN(v)) continue;
    const half = Math.max(2, Math.round(path.halfStations[i] / coarse) * coarse);
    seen.windows.set(half, (seen.windows.get(half) ?? 0) + 1);
    const off = noise / Math.max(1e-3, side.slope[i]);
    seen.variance += off * off;
    seen.squares += v * v;
    seen.n++;
  }
}

interface OwnDepartures {
  readonly edge: FoundEdge;
  readonly values: Float64Array;
}

/** Half a window of which a quarter of all places have none shorter, stations. */
function widestQuarter(own: readonly OwnDepartures[]): number {
  let n = 0;
  for (const { values } of own) n += values.length;
  const half = new Float64Array(n);
  let found = 0;
  for (const { edge, values } of own) found = addHalves(half, found, values, edge.path.halfStations);
  return found === 0 ? 0 : selectKth(half, found, Math.floor(0.75 * (found - 1)));
}

function addHalves(half: Float64Array, from: number, values: Float64Array, own: Float64Array): number {
  let found = from;
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i])) half[found++] = own[i];
  return found;
}

function leaveOutNarrow(values: Float64Array, half: Float64Array, least: number): void {
  for (let i = 0; i < values.length; i++) if (half[i] < least) values[i] = NaN;
}

/** Lags that at least a fifth of the places reach, for short strokes hold no long waves. */
function lagsFor(edges: readonly { readonly values: Float64Array }[], pxPerMm: number): number {
  const most = Math.round(LAGS_MM * pxPerMm);
  const runs = new Float64Array(most + 2);
  for (const { values } of edges) addRuns(runs, values);
  let lags = Math.min(most, 8);
  while (lags < most && runs[lags + 1] > 0.2 * runs[0]) lags++;
  return lags;
}

/** A run of r stations has r − k pairs at lag k. */
function addRuns(runs: Float64Array, values: Float64Array): void {
  let run = 0;
  for (let i = 0; i <= values.length; i++) {
    if (i < values.length && !Number.isNaN(values[i])) run++;
    else {
      for (let k = 0; k < Math.min(runs.length - 1, run); k++) runs[k] += run - k;
      run = 0;
    }
  }
}

/** Of one edge from its path, px, outwards positive; NaN where it does not count. */
function departures(edge: FoundEdge, inner: Uint8Array): Float64Array {
  const { side, path, clear } = edge;
  const out = new Float64Array(side.away.length).fill(NaN);
  for (let i = 0; i < out.length; i++) if (inner[i] === 1 && clear[i] === 1) out[i] = side.away[i] - path.away[i];
  return out;
}

/** Null where no edge counts. */
export function feathering(found: FoundEdges, pxPerMm: number, seed: number): Feathering | null {
  const lengths: number[] = [];
  let stations = 0;
  for (const { counted } of found.strokes) stations += counted.length;
  const room: Excursions = {
    outward: new Float64Array(2 * stations),
    inward: new Float64Array(2 * stations),
    outwards: 0,
    inwards: 0,
    edgePx: 0,
  };
  for (const { stroke, left, right } of found.strokes) {
    for (const edge of [left, right]) {
      for (const hair of edge.hairs) lengths.push(hair.lengthPx);
      addExcursions(room, edge, stroke.inner, stroke.line.stepPx, BESIDE_MM * pxPerMm);
    }
  }
  const { outward, inward, outwards, inwards, edgePx } = room;
  if (edgePx < 20) return null;
  const cm = edgePx / pxPerMm / 10;
  const hairs = lengths.length;
  lengths.sort((a, b) => a - b);
  const shortPx = Math.max(SHORT_PX, SHORT_SIGMAS * found.across.sigmaPx);
  const isShort = (length: number) => length < shortPx;
  const shortAside = found.aside.filter(({ lengthPx }) => isShort(lengthPx)).length;
  const short = lengths.filter(isShort).length + shortAside;
  const lines = found.strokes.flatMap(({ stroke, left, right }) =>
    [left, right].map((edge) => ({
      hairs: edge.hairs,
      stations: stroke.inner.length,
      stepPx: stroke.line.stepPx,
    })),
  );
  const beside = hiddenHairs(lines, found.aside.length, found.across.sigmaPx, pxPerMm, edgePx);
  const counted = { found: hairs, aside: found.aside.length, asideBeyond: found.asideBeyond, short, beside, edgePx };
  if (hairs >= leastHairs(cm)) {
    const repeat = bootstrapDeviation(hairs, seed, (weight) => weightedPercentile(lengths, weight, 0.95));
    return { lengthPx: percentile(lengths, 0.95) - longerByNoise(lengths), repeat, hairs, ...counted };
  }
  // A ragged edge departs inwards as far as outwards: what is outward only is the ink's running.
  const out = highPercentile(outward, outwards, 0.95);
  const back = highPercentile(inward, inwards, 0.95);
  const lengthPx = Math.sqrt(Math.max(0, out * out - back * back));
  // What was found beyond chance, or goes outwards more often than inwards, may be hairs all the same, as long as they are, with that share for its likelihood.
  const likely = hairs + found.asideBeyond;
  const beyondChance = Math.max(0, likely - CHANCE_PER_CM * cm) / Math.max(1, likely);
  const all =
    found.asideBeyond > 0 ? [...lengths, ...found.aside.map((hair) => hair.lengthPx)].sort((a, b) => a - b) : lengths;
  const doubt = Math.sqrt(beyondChance) * percentile(all, 0.95);
  return { lengthPx, repeat: Math.hypot(0.5 * Math.max(lengthPx, 0.1 * out), doubt), hairs: 0, ...counted };
}

/** On so many cm of edge fewer are chance (Poisson). */
export function leastHairs(cm: number): number {
  const chance = CHANCE_PER_CM * cm;
  return Math.max(LEAST_HAIRS, chance + SURE * Math.sqrt(chance));
}

/**
 * The upper end of the 95 % interval of a Poisson count (Garwood 1936, Biometrika 28, 437–442), its χ² quantile by Wilson & Hilferty's cube root (1931): of none seen
 * 3.7 may be there, where ± 2√n would say that there are none.
 */
export function mostOfCount(count: number): number {
  const n = count + 1;
  return n * (1 - 1 / (9 * n) + 1.96 / (3 * Math.sqrt(n))) ** 3;
}

interface Excursions {
  readonly outward: Float64Array;
  readonly inward: Float64Array;
  outwards: number;
  inwards: number;
  edgePx: number;
}

function addExcursions(
  room: Excursions,
  { side, path, clear }: FoundEdge,
  inner: Uint8Array,
  stepPx: number,
  besidePx: number,
): void {
  for (let i = 0; i < inner.length; i++) {
    if (inner[i] === 0 || Number.isNaN(side.away[i])) continue;
    room.edgePx += stepPx;
    // Where a bend is sharper than the path follows, or a wave longer than hairs are broad, the edge lies outside the path as a whole.
    if (path.base[i] - path.away[i] > besidePx) continue;
    const r = side.away[i] - path.away[i];
    if (r > 0 && clear[i] === 1) room.outward[room.outwards++] = r;
    else if (r < 0) room.inward[room.inwards++] = -r;
  }
}

/** What the noise of the tips adds to a 95th percentile: lengths that scatter by s would by themselves scatter by √(s² − noise²). */
function longerByNoise(lengths: readonly number[]): number {
  const mean = lengths.reduce((a, b) => a + b, 0) / lengths.length;
  const scatter = Math.sqrt(lengths.reduce((sum, l) => sum + (l - mean) ** 2, 0) / lengths.length);
  return 1.645 * (scatter - Math.sqrt(Math.max(0, scatter ** 2 - TIP_NOISE_PX ** 2)));
}

/** 0 for none. */
function percentile(sorted: ArrayLike<number>, p: number): number {
  return sorted.length === 0 ? 0 : quantileOfSorted(sorted, p);
}

/** The same of the first `count` values, which end up partly sorted. */
function highPercentile(values: Float64Array, count: number, p: number): number {
  if (count === 0) return 0;
  const at = p * (count - 1);
  const k = Math.floor(at);
  const low = selectKth(values, count, k);
  // None beyond it is smaller: the least of them comes next.
  let next = k + 1 < count ? Infinity : low;
  for (let i = k + 1; i < count; i++) next = Math.min(next, values[i]);
  return low + (at - k) * (next - low);
}

function weightedPercentile(sorted: readonly number[], weight: Float64Array, p: number): number {
  const drawn = sorted.flatMap((v, k) => Array.from({ length: weight[k] }, () => v));
  return percentile(drawn, p);
}
