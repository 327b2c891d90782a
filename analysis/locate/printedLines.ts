/**
 * Printed rules: thin, straight, of one strength along their whole length, and running through the region from border to
 * border, as no hand writes. A median over each of many strips sees them through the writing that lies on them.
 */
import { selectKth } from '../raster/select.ts';
import type { DarknessMap } from './darknessMap.ts';
import { upperMedian } from '../quantile.ts';

/** A rule that runs along x (or, in a transposed map, along y), in pixels of the region, pixel middles at whole + 0.5. */
export interface LinePath {
  /** across = c[0] + c[1]·t + c[2]·t², t from −1 to 1 along the region. */
  readonly coefficients: readonly [number, number, number];
  /** Absorbance at its middle, in the map. */
  readonly depth: number;
}

/** A rule is looked for in strips of this length; letters seldom fill one along a whole row. */
const STRIP_MM = 3;
const LEAST_STRIPS = 4;
/** Sheets lie on the glass within this of straight. */
const MOST_SLOPE = 0.06;
/** Broader than any printed rule: what is wider is no rule. */
const BROADEST_MM = 1.2;
/** Least absorbance that would ever be taken for ink. */
const LEAST_DEPTH = 0.006;
/** Ground darker than this is written on, or a swab, and says nothing about rules. */
const BARE = 0.04;
/** A rule under a swab must be seen in this share of the strips. */
const THROUGH_INK = 0.8;
/** A press draws straighter than this about a slight bend; a hand does not, mm. */
const STRAIGHT_MM = 0.03;
/** A rule that does not reach into the outermost part of the region ends within it: then it is a stroke. */
const BORDER_MM = 0.8;

/** @param noise Standard deviation of the map on bare paper. @returns rules along x; of the transposed map those along y */
export function printedLines(map: DarknessMap, noise: number): LinePath[] {
  const profiles = stripProfiles(map);
  const strips = profiles.length;
  if (strips < LEAST_STRIPS) return [];
  const n = map.height;
  const hats = profiles.map((p) => topHat(p, Math.max(3, Math.round(BROADEST_MM * map.perMm))));
  const least = Math.max(LEAST_DEPTH, 4 * noise * Math.sqrt(1.6 / (STRIP_MM * map.perMm)));
  if (!mayReach(hats, n, least, map.width)) return [];
  const rise = steepest(hats, n, 2 * least, map.width);
  const level = alongLevels(hats, n, rise);
  const lines: LinePath[] = [];
  const apart = Math.max(2, Math.round(0.5 * map.perMm));
  for (let y = 1; y < n - 1; y++) {
    if (level[y] < least || !isPeak(level, y, apart)) continue;
    const line = followed(map, profiles, hats, y, rise, level[y]);
    if (line) lines.push(line);
  }
  return lines;
}

/** Per strip, the median of every row. */
function stripProfiles(map: DarknessMap): Float32Array[] {
  const { data, width, height, perMm } = map;
  const count = Math.max(LEAST_STRIPS, Math.floor(width / (STRIP_MM * perMm)));
  const length = Math.floor(width / count);
  if (length < 6) return [];
  const values = new Float32Array(length);
  return Array.from({ length: count }, (_, s) => {
    const profile = new Float32Array(height);
    rowMedians(data, Math.floor((s * width) / count), width, values, profile);
    return profile;
  });
}

/** Of one strip, whose rows begin `width` apart. */
function rowMedians(data: Float32Array, from: number, width: number, values: Float32Array, out: Float32Array): void {
  for (let y = 0, start = from; y < out.length; y++, start += width) {
    for (let k = 0; k < values.length; k++) values[k] = data[start + k];
    out[y] = selectKth(values, values.length, values.length >> 1);
  }
}

/** What stands out from the opening by a window: peaks narrower than it. */
function topHat(profile: Float32Array, window: number): Float32Array {
  const half = window >> 1;
  const opened = extremes(extremes(profile, half, -1), half, 1);
  for (let i = 0; i < opened.length; i++) opened[i] = profile[i] - opened[i];
  return opened;
}

/** The largest (way 1) or least (way −1) of the values about each, which stop at the ends. */
function extremes(values: Float32Array, half: number, way: 1 | -1): Float32Array {
  const n = values.length;
  const out = new Float32Array(n);
  for (let i = 0; i < n; i++) {
    const end = i + half < n ? i + half : n - 1;
    let best = values[i];
    for (let k = i > half ? i - half : 0; k <= end; k++) if (way * values[k] > way * best) best = values[k];
    out[i] = best;
  }
  return out;
}

/** Of strips sorted by their level, this share is paler than what counts as a row's. */
const PALER_SHARE = 0.33;
/** Rows to either side in which a strip's peak is looked for. */
const PEAK_REACH = 1;

/** False where no rise at all could bring strips enough (alongLevels) to the level: most regions, which then need no rise. */
function mayReach(hats: readonly Float32Array[], n: number, least: number, width: number): boolean {
  const needed = hats.length - Math.floor(PALER_SHARE * hats.length);
  const counts = new Int32Array(n);
  for (let s = 0; s < hats.length; s++) {
    countWithin(hats[s], least, mostShift(s, hats.length, mostRise(width)) + PEAK_REACH, counts);
  }
  return counts.some((count) => count >= needed);
}

/** One more wherever the hat reaches the level no further away than so much. */
function countWithin(hat: Float32Array, least: number, reach: number, counts: Int32Array): void {
  for (let y = 0, next = 0; y < hat.length; y++) {
    if (hat[y] < least) continue;
    const end = Math.min(counts.length - 1, y + reach);
    for (next = Math.max(next, y - reach); next <= end; next++) counts[next]++;
  }
}

function mostRise(width: number): number {
  return Math.ceil(MOST_SLOPE * width);
}

/** Rise over the whole width, in map rows, under which rows add up to the sharpest peaks. */
function steepest(hats: readonly Float32Array[], n: number, cap: number, width: number): number {
  const most = mostRise(width);
  const long = hats.map((hat, s) => lengthened(hat, mostShift(s, hats.length, most), cap));
  const rows = new Float64Array(n);
  let best = 0;
  let bestScore = sharpness(long, 0, rows);
  for (let rise = -most; rise <= most; rise++) {
    const own = sharpness(long, rise, rows);
    if (own > bestScore) [best, bestScore] = [rise, own];
  }
  return best;
}

/** No more than the cap, and so much longer at both ends, where it goes on as it ends: so that shifted it need not be looked at for either. */
function lengthened(hat: Float32Array, by: number, cap: number): Float64Array {
  const last = hat.length - 1;
  const long = new Float64Array(hat.length + 2 * by);
  for (let k = 0; k < long.length; k++) {
    const at = k - by;
    const level = hat[at < 0 ? 0 : at < last ? at : last];
    long[k] = level < cap ? level : cap;
  }
  return long;
}

/** Sum of the squares of the rows' sums. @param long Hats as `lengthened` gives them. @param rows Room for their sums. */
function sharpness(long: readonly Float64Array[], rise: number, rows: Float64Array): number {
  rows.fill(0);
  for (let s = 0; s < long.length; s++) {
    addFrom(long[s], (long[s].length - rows.length) / 2 + shiftOf(s, long.length, rise), rows);
  }
  let sum = 0;
  for (let y = 0; y < rows.length; y++) sum += rows[y] * rows[y];
  return sum;
}

function addFrom(long: Float64Array, from: number, rows: Float64Array): void {
  for (let y = 0; y < rows.length; y++) rows[y] += long[from + y];
}

function mostShift(strip: number, strips: number, rise: number): number {
  return Math.max(Math.abs(shiftOf(strip, strips, rise)), Math.abs(shiftOf(strip, strips, -rise)));
}

function shiftOf(strip: number, strips: number, rise: number): number {
  return Math.round(rise * ((strip + 0.5) / strips - 0.5));
}

/** Per row, the level that two thirds of the strips reach within a row. */
function alongLevels(hats: readonly Float32Array[], n: number, rise: number): Float32Array {
  const own = new Float32Array(hats.length);
  const shifts = hats.map((_, s) => shiftOf(s, hats.length, rise));
  const out = new Float32Array(n);
  for (let y = 0; y < n; y++) {
    for (let s = 0; s < hats.length; s++) own[s] = nearPeak(hats[s], y + shifts[s], n, PEAK_REACH);
    out[y] = selectKth(own, own.length, Math.floor(PALER_SHARE * own.length));
  }
  return out;
}

function nearPeak(hat: Float32Array, y: number, n: number, reach: number): number {
  let high = 0;
  const end = y + reach < n ? y + reach : n - 1;
  for (let k = y > reach ? y - reach : 0; k <= end; k++) if (hat[k] > high) high = hat[k];
  return high;
}

function isPeak(level: Float32Array, y: number, apart: number): boolean {
  for (let k = Math.max(0, y - apart); k <= Math.min(level.length - 1, y + apart); k++) {
    if (level[k] > level[y] || (level[k] === level[y] && k < y)) return false;
  }
  return true;
}

/**
 * Strip by strip; null unless it is there wherever the paper is bare, at both ends of the region, and of one strength. Where a swab leaves hardly any paper
 * bare, it must be there under nearly all of the ink as well, whose absorbance adds to the print's, and seen to run out on either hand.
 */
function followed(
  map: DarknessMap,
  profiles: readonly Float32Array[],
  hats: readonly Float32Array[],
  y: number,
  rise: number,
  level: number,
): LinePath | null {
  const strips = hats.length;
  const onBare: PlaceOfLine[] = [];
  const onAll: PlaceOfLine[] = [];
  let bare = 0;
  const reach = Math.max(2, Math.round(0.25 * map.perMm));
  for (let s = 0; s < strips; s++) {
    const at = y + shiftOf(s, strips, rise);
    if (at < 0 || at >= map.height) continue;
    let top = at;
    for (let k = at - reach; k <= at + reach; k++) if ((hats[s][k] ?? 0) > hats[s][top]) top = k;
    const depth = hats[s][top];
    const isBare = profiles[s][top] - depth <= BARE;
    if (isBare) bare++;
    if (depth < 0.45 * level || depth > 2.5 * level) continue;
    const across = (centroid(hats[s], top, reach) + 0.5) * map.step;
    const place = { t: (2 * (s + 0.5)) / strips - 1, across, depth };
    onAll.push(place);
    if (isBare) onBare.push(place);
  }
  if (onBare.length >= 3 && onBare.length >= 0.7 * bare && bare >= 0.3 * strips) return lineThrough(map, onBare, 1);
  return onBare.length === bare && onAll.length >= THROUGH_INK * strips ? lineThrough(map, onAll, 2) : null;
}

interface PlaceOfLine {
  readonly t: number;
  readonly across: number;
  readonly depth: number;
}

/** @param leastEnds On so many hands it must be seen to run out; on none may it end within the region. */
function lineThrough(map: DarknessMap, seen: readonly PlaceOfLine[], leastEnds: 1 | 2): LinePath | null {
  const coefficients = robustParabola(seen);
  const depth = upperMedian(
    seen.map((p) => p.depth),
    0,
  );
  const astray =
    1.4826 *
    upperMedian(
      seen.map((p) => Math.abs(p.across - valueAt(coefficients, p.t))),
      0,
    );
  if (astray > (STRAIGHT_MM * map.perMm + 0.1) * map.step) return null;
  const ends = [-1, 1].map((side) => atBorder(map, coefficients, side, depth));
  const out = ends.filter((end) => end === 'runs out').length;
  return ends.includes('ends before') || out < leastEnds ? null : { coefficients, depth };
}

/** Whether a rule runs out of the region at its left (side −1) or right end, ends before, or is written over there. */
function atBorder(
  map: DarknessMap,
  coefficients: LinePath['coefficients'],
  side: number,
  depth: number,
): 'runs out' | 'ends before' | 'hidden' {
  const { data, width, height, perMm, step } = map;
  const count = Math.max(3, Math.round(BORDER_MM * perMm));
  const away = Math.max(3, Math.round(0.6 * perMm));
  const stands: number[] = [];
  for (let k = 0; k < count; k++) {
    const x = side < 0 ? k : width - 1 - k;
    const y = Math.floor(valueAt(coefficients, (2 * (x + 0.5)) / width - 1) / step);
    if (y < 1 || y >= height - 1) return 'hidden'; // it has left the region by its side
    const ground = Math.min(data[clamp(y - away, height) * width + x], data[clamp(y + away, height) * width + x]);
    if (ground > BARE) continue;
    stands.push(Math.max(data[y * width + x], data[(y - 1) * width + x], data[(y + 1) * width + x]) - ground);
  }
  if (stands.length < count / 2) return 'hidden';
  return upperMedian(stands, 0) > 0.4 * depth ? 'runs out' : 'ends before';
}

function centroid(hat: Float32Array, top: number, reach: number): number {
  let sum = 0;
  let weight = 0;
  for (let k = Math.max(0, top - reach); k <= Math.min(hat.length - 1, top + reach); k++) {
    sum += k * hat[k];
    weight += hat[k];
  }
  return weight > 0 ? sum / weight : top;
}

/** Least squares with Tukey's biweight, four rounds; a straight line where there are too few points for a bend. */
export function robustParabola(
  points: readonly { readonly t: number; readonly across: number }[],
): readonly [number, number, number] {
  const terms = points.length >= 8 ? 3 : 2;
  let weights = points.map(() => 1);
  let c: readonly [number, number, number] = [0, 0, 0];
  for (let round = 0; round < 4; round++) {
    c = weightedParabola(points, weights, terms);
    const off = points.map((p) => Math.abs(p.across - valueAt(c, p.t)));
    const scale = 4.685 * Math.max(0.05, 1.4826 * upperMedian(off, 0));
    weights = off.map((d) => (d < scale ? (1 - (d / scale) ** 2) ** 2 : 0));
  }
  return c;
}

/** c0 + c1 t + c2 t². */
export function valueAt(c: readonly [number, number, number], t: number): number {
  return c[0] + t * (c[1] + t * c[2]);
}

/** Normal equations by elimination; a ridge far below a pixel keeps them solvable. */
function weightedParabola(
  points: readonly { readonly t: number; readonly across: number }[],
  weights: readonly number[],
  terms: 2 | 3,
): readonly [number, number, number] {
  const a = Array.from({ length: terms }, (_, i) => Array.from({ length: terms + 1 }, (__, j) => (i === j ? 1e-9 : 0)));
  for (const [k, p] of points.entries()) {
    const basis = [1, p.t, p.t * p.t];
    for (let i = 0; i < terms; i++) {
      for (let j = 0; j < terms; j++) a[i][j] += weights[k] * basis[i] * basis[j];
      a[i][terms] += weights[k] * basis[i] * p.across;
    }
  }
  for (let i = 0; i < terms; i++) {
    for (let k = i + 1; k < terms; k++) {
      const factor = a[k][i] / a[i][i];
      for (let j = i; j <= terms; j++) a[k][j] -= factor * a[i][j];
    }
  }
  const c: [number, number, number] = [0, 0, 0];
  for (let i = terms - 1; i >= 0; i--) {
    let sum = a[i][terms];
    for (let j = i + 1; j < terms; j++) sum -= a[i][j] * c[j];
    c[i] = sum / a[i][i];
  }
  return c;
}

function clamp(y: number, n: number): number {
  return y < 0 ? 0 : y >= n ? n - 1 : y;
}
