/** The mean course of colour across an edge, each edge first moved so that its crossing lies at 0. */
import type { Ink } from '../../locate/inkMask.ts';
import type { CentreLine } from './centreLine.ts';
import type { TwoEdges } from './lineEdges.ts';
import type { StrokeEdges } from './strokeEdges.ts';
import { readAlong, type TiledSpline } from '../../raster/tiledSpline.ts';

/** What the mean is taken over. */
export interface CountedEdges {
  readonly stroke: StrokeEdges;
  readonly edges: TwoEdges;
  readonly counted: Uint8Array;
}

export interface MeanProfile {
  /** px from the crossing: negative outside. Evenly spaced. */
  readonly atPx: Float64Array;
  readonly stepPx: number;
  /** Signal over local paper, three channels, and the contrast: what the fits look at. */
  readonly channels: readonly [Float64Array, Float64Array, Float64Array];
  readonly contrast: Float64Array;
  /** Edges that each place is the mean of. */
  readonly counts: Float64Array;
  /** The same of a part of the edges only, by groups of stretches along the strokes: for the scatter. */
  readonly groups: readonly ProfileGroup[];
  /** All of them together. */
  readonly all: ProfileGroup;
  /** Mean width of the lines seen, px. */
  readonly lineWidthPx: number;
}

interface ProfileGroup {
  readonly sums: readonly [Float64Array, Float64Array, Float64Array, Float64Array];
  readonly counts: Float64Array;
}

/** As many edges as this tell the mean well enough. */
const MOST_EDGES = 3000;
const GROUPS = 12;
/** A stretch whose edges belong to one group, mm: longer than fibres and noise hang together. */
const STRETCH_MM = 1.5;
const OUTSIDE_MM = 1.1;
const INSIDE_MM = 0.45;
/** Where other ink is about as near as the stroke's own, a place is not this edge's. */
const OWN_SHARE = 0.85;
/** Where an edge is to be seen apart from all others no other ink may be nearer than its own by more than whole pixels tell, px. */
const WHOLE_PX = 0.5;

/**
 * Null when no edge counts. @param apartPx 0, or how much earlier an edge is left than where other ink is as near: what stands about that ink, a ring and its blur,
 * is then as far behind that ink's edge as the place is before this one's.
 */
export function meanProfile(
  spline: TiledSpline,
  ink: Ink,
  strokes: readonly CountedEdges[],
  pxPerMm: number,
  apartPx = 0,
): MeanProfile | null {
  const stepPx = pxPerMm > 18 ? 0.75 : 0.5;
  const outside = Math.ceil((OUTSIDE_MM * pxPerMm) / stepPx);
  const insideMost = Math.ceil((INSIDE_MM * pxPerMm) / stepPx);
  const places = outside + insideMost + 1;
  const seenBy: Reading = {
    spline,
    ink,
    contrast: new Float64Array(places),
    stepPx,
    outside,
    share: apartPx > 0 ? 1 : OWN_SHARE,
    wholePx: apartPx > 0 ? WHOLE_PX : 0,
    back: Math.round(apartPx / stepPx),
    groups: Array.from({ length: GROUPS }, () => emptyGroup(places)),
  };
  const { groups } = seenBy;
  let total = 0;
  for (const { counted } of strokes) for (const c of counted) total += c;
  const stride = Math.max(1, Math.ceil((2 * total) / MOST_EDGES));
  let stretch = 0;
  let seen = 0;
  let width = 0;
  const addAll = (clearSteps: number): number => {
    let added = 0;
    for (const { stroke, edges, counted } of strokes) {
      const { line } = stroke;
      const stretchStations = Math.max(1, Math.round((STRETCH_MM * pxPerMm) / line.stepPx));
      for (let i = 0; i < line.x.length; i++) {
        if (i % stretchStations === 0) stretch++;
        if (counted[i] === 0 || i % stride !== 0) continue;
        const own = edges.left.away[i] + edges.right.away[i];
        width += own;
        seen++;
        const inner = Math.min(insideMost, Math.floor((0.5 * own) / stepPx));
        const [left, right] = [groups[(2 * stretch) % GROUPS], groups[(2 * stretch + 1) % GROUPS]];
        if (addEdge(seenBy, left, line, i, -edges.left.away[i], -1, inner, clearSteps)) added++;
        if (addEdge(seenBy, right, line, i, edges.right.away[i], 1, inner, clearSteps)) added++;
      }
    }
    return added;
  };
  // Dense letters touch one another everywhere: then edges are what they are.
  if (addAll(firstStep(stepPx)) === 0) addAll(-1);
  if (seen === 0) return null;
  const atPx = Float64Array.from({ length: places }, (_, k) => (k - outside) * stepPx);
  const all = sumOf(groups, places);
  return { atPx, stepPx, ...meansOf({ groups, all }, null), groups, all, lineWidthPx: width / seen };
}

interface Reading {
  readonly spline: TiledSpline;
  readonly ink: Ink;
  /** Room for one edge's values. */
  readonly contrast: Float64Array;
  readonly stepPx: number;
  /** Steps from the crossing to the outermost place. */
  readonly outside: number;
  /** Other ink nearer than this share of the way, less so many px, ends it; so many steps before. */
  readonly share: number;
  readonly wholePx: number;
  readonly back: number;
  readonly groups: readonly ProfileGroup[];
}

/**
 * From the edge outwards while it is the nearest ink, then inwards towards the middle.
 * @param away Along the normal. @param clearSteps An edge that is not the nearest ink beyond so many steps is another stroke's as well, whose ink would pass for
 * a ring. @returns whether it was added
 */
function addEdge(
  reading: Reading,
  group: ProfileGroup,
  line: CentreLine,
  i: number,
  away: number,
  side: -1 | 1,
  inner: number,
  clearSteps: number,
): boolean {
  const { stepPx } = reading;
  const x = line.x[i] + away * line.nx[i];
  const y = line.y[i] + away * line.ny[i];
  const dx = side * stepPx * line.nx[i];
  const dy = side * stepPx * line.ny[i];
  const free = freeSteps(reading, x, y, dx, dy);
  if (free <= clearSteps) return false;
  addPlaces(reading, group, x, y, dx, dy, 0, -1, free);
  addPlaces(reading, group, x - dx, y - dy, -dx, -dy, 1, 1, inner);
  return true;
}

/** Nearer to the edge than this its own ink is always the nearest, as far as whole pixels tell. */
function firstStep(stepPx: number): number {
  return Math.floor(2 / stepPx) + 1;
}

function freeSteps(reading: Reading, x: number, y: number, dx: number, dy: number): number {
  const { ink, stepPx, outside, share, wholePx, back } = reading;
  const { awayPx, mask } = ink;
  const { widthPx: w, heightPx: h } = mask;
  for (let k = firstStep(stepPx); k <= outside + back; k++) {
    const px = Math.round(x + k * dx);
    const py = Math.round(y + k * dy);
    const isOut = px < 0 || py < 0 || px >= w || py >= h;
    if (isOut || awayPx[py * w + px] < share * k * stepPx - wholePx) return Math.min(outside + 1, k - back);
  }
  return outside + 1;
}

/** So many places from (x, y) on, into the sums from `from` steps beyond the edge on; up to where the raster ends. */
function addPlaces(
  { spline, ink, contrast, outside }: Reading,
  group: ProfileGroup,
  x: number,
  y: number,
  dx: number,
  dy: number,
  from: number,
  way: -1 | 1,
  count: number,
): void {
  readAlong(spline, x, y, dx, dy, contrast, 0, count);
  let known = 0;
  while (known < count && !Number.isNaN(contrast[known])) known++;
  const first = outside + way * from;
  const sums = group.sums[3];
  for (let k = 0, place = first; k < known; k++, place += way) {
    sums[place] += contrast[k];
    group.counts[place]++;
  }
  addChannels(ink.ratio, ink.mask.widthPx, x, y, dx, dy, group.sums, first, way, known);
}

/** Means over all groups but one; null: over all. */
export function meansOf(
  { groups, all }: Pick<MeanProfile, 'groups' | 'all'>,
  without: number | null,
): Pick<MeanProfile, 'channels' | 'contrast' | 'counts'> {
  const left = without === null ? null : groups[without];
  const counts = less(all.counts, left && left.counts);
  const mean = (c: 0 | 1 | 2 | 3) => {
    const sums = less(all.sums[c], left && left.sums[c]);
    for (let k = 0; k < sums.length; k++) sums[k] = counts[k] > 0 ? sums[k] / counts[k] : NaN;
    return sums;
  };
  return { channels: [mean(0), mean(1), mean(2)], contrast: mean(3), counts };
}

function less(all: Float64Array, part: Float64Array | null): Float64Array {
  const rest = all.slice();
  if (part !== null) for (let k = 0; k < rest.length; k++) rest[k] -= part[k];
  return rest;
}

function sumOf(groups: readonly ProfileGroup[], places: number): ProfileGroup {
  const all = emptyGroup(places);
  for (const { sums, counts } of groups) {
    for (let k = 0; k < places; k++) {
      all.counts[k] += counts[k];
      for (let c = 0; c < 4; c++) all.sums[c][k] += sums[c][k];
    }
  }
  return all;
}

function emptyGroup(places: number): ProfileGroup {
  const room = () => new Float64Array(places);
  return { sums: [room(), room(), room(), room()], counts: room() };
}

/** The three channels of the ratio, read by Keys's cubic convolution, a = −1/2 (Keys 1981, IEEE Trans. ASSP 29, 1153–1160), onto the sums. */
function addChannels(
  ratio: Float32Array,
  w: number,
  x: number,
  y: number,
  dx: number,
  dy: number,
  [red, green, blue]: ProfileGroup['sums'],
  first: number,
  way: -1 | 1,
  count: number,
): void {
  const weights = new Float64Array(4);
  for (let place = first, end = first + way * count; place !== end; place += way, x += dx, y += dy) {
    const left = Math.floor(x);
    const top = Math.floor(y);
    const u = x - left;
    const v = y - top;
    weights[0] = v * (-0.5 + v * (1 - 0.5 * v));
    weights[1] = 1 + v * v * (-2.5 + 1.5 * v);
    weights[2] = v * (0.5 + v * (2 - 1.5 * v));
    weights[3] = v * v * (-0.5 + 0.5 * v);
    const a = u * (-0.5 + u * (1 - 0.5 * u));
    const b = 1 + u * u * (-2.5 + 1.5 * u);
    const c = u * (0.5 + u * (2 - 1.5 * u));
    const d = u * u * (-0.5 + 0.5 * u);
    let r = 0;
    let g = 0;
    let bl = 0;
    for (let j = 0, i = 3 * ((top - 1) * w + left - 1); j < 4; j++, i += 3 * w) {
      const q = weights[j];
      r += q * (a * ratio[i] + b * ratio[i + 3] + c * ratio[i + 6] + d * ratio[i + 9]);
      g += q * (a * ratio[i + 1] + b * ratio[i + 4] + c * ratio[i + 7] + d * ratio[i + 10]);
      bl += q * (a * ratio[i + 2] + b * ratio[i + 5] + c * ratio[i + 8] + d * ratio[i + 11]);
    }
    red[place] += r;
    green[place] += g;
    blue[place] += bl;
  }
}
