/**
 * What an edge's own wander makes of hairs. A rough edge goes outwards here and there by itself, and the farthest of these look like short hairs; but it goes
 * inwards as often and as far, which hairs never do. So what the wander could explain counts as hairs only where much more of it lies outside than within.
 */
import { selectKth } from '../../raster/select.ts';
import type { EdgeSide } from './lineEdges.ts';
import { type Hair, howMany, limitAt, type MeanBeyond, narrownessOf, startOf, streaks, valueAt } from './hairs.ts';
import { inwardScatter, notchBase, type SmoothPath } from './smoothPath.ts';
import type { StrokeEdges } from './strokeEdges.ts';

interface OwnEdge {
  readonly stroke: StrokeEdges;
  readonly side: EdgeSide;
  readonly path: SmoothPath;
  readonly counted: Uint8Array;
}

/** A Gaussian course as fine as hairs exceeds so many standard deviations about once in ten centimetres (Rice 1945): a tenth of the hairs that count. */
const WANDER_SIGMAS = 3.3;
/** Fewer a cm are chance. */
const LEAST_PER_CM = 1;
/** So many times as many outside as within are hairs, by so many standard deviations of what is counted: the two limits are not wholly each other's image. */
const TIMES = 2;
const SURE = 2;

/** How far edges go outwards by themselves, px, told by their inward half, where no hairs are. */
export function wanderOf(edges: readonly OwnEdge[]): number {
  return WANDER_SIGMAS * scatterOf(edges);
}

function scatterOf(edges: readonly OwnEdge[]): number {
  let squares = 0;
  let total = 0;
  for (const { side, path, counted } of edges) {
    const scatter = inwardScatter(side.away, path.base, counted);
    const n = howMany(counted);
    squares += n * scatter * scatter;
    total += n;
  }
  return Math.sqrt(squares / Math.max(1, total));
}

export interface BeyondWander {
  /** Whether what could be wander is hairs all the same. */
  readonly isMore: boolean;
  /** How many more go outwards than inwards, by more than the standard deviation of that. */
  readonly more: number;
}

/** @param hairs Of all these edges. */
export function beyondWander(
  edges: readonly OwnEdge[],
  hairs: readonly Hair[],
  beyond: MeanBeyond,
  sigmaPx: number,
  pxPerMm: number,
): BeyondWander {
  let outward = 0;
  for (const { isWithinWander } of hairs) if (isWithinWander) outward++;
  let edgePx = 0;
  for (const { stroke, counted } of edges) edgePx += howMany(counted) * stroke.line.stepPx;
  if (outward <= SURE * SURE) return { isMore: false, more: 0 };
  const inward = notches(edges, beyond, sigmaPx, pxPerMm);
  const isOften = outward >= (LEAST_PER_CM * edgePx) / pxPerMm / 10;
  return {
    isMore: isOften && outward - TIMES * inward > SURE * Math.sqrt(outward + TIMES * TIMES * inward),
    more: Math.max(0, outward - inward - Math.sqrt(outward + inward)),
  };
}

/** Places where an edge goes inwards as it would look like a hair outwards: hairs' mirror image, as deep within and by the same limit. */
function notches(edges: readonly OwnEdge[], beyond: MeanBeyond, sigmaPx: number, pxPerMm: number): number {
  const start = startOf(sigmaPx, pxPerMm, beyond.stepPx);
  const shares = edges.map((edge) => sharesWithin(edge, start * beyond.stepPx, pxPerMm));
  let total = 0;
  for (const { counted } of edges) total += howMany(counted);
  const all = new Float64Array(total);
  let found = 0;
  edges.forEach(({ counted }, e) => {
    const share = shares[e];
    for (let i = 0; i < share.length; i++) if (counted[i] === 1 && !Number.isNaN(share[i])) all[found++] = share[i];
  });
  const median = found > 0 ? selectKth(all, found, found >> 1) : NaN;
  let count = 0;
  edges.forEach(({ stroke, side }, e) => {
    const lacking = shares[e].map((v) => median - v);
    const limit = (i: number) => limitAt({ side, beyond }, i, start) / side.core[i];
    count += streaks(lacking, narrownessOf({ stroke, sigmaPx, pxPerMm }), limit).length;
  });
  return count;
}

/** Of the core beside the edge, so deep within what notches hang from. */
function sharesWithin({ stroke, side, path, counted }: OwnEdge, deepPx: number, pxPerMm: number): Float64Array {
  const base = notchBase({ line: stroke.line, away: side.away, path: path.away, counted }, pxPerMm);
  const share = new Float64Array(base.length).fill(NaN);
  for (let i = 0; i < share.length; i++) {
    if (stroke.inner[i] === 1) share[i] = valueAt(stroke, side.side, i, base[i] - deepPx) / side.core[i];
  }
  return share;
}
