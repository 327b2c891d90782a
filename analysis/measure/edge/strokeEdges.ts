/** The edges of all single-layer strokes of a region, station by station, and which stations count. */
import type { Ink } from '../../locate/inkMask.ts';
import type { StrokeInterior } from '../../locate/strokeInterior.ts';
import { type AcrossProfiles, acrossProfiles } from './acrossProfile.ts';
import { type CentreLine, centreLines, lineThrough } from './centreLine.ts';
import { type EdgeLevels, lineEdges, type TwoEdges } from './lineEdges.ts';
import { type SkeletonPath, skeletonPaths } from './skeletonPath.ts';

export interface StrokeEdges {
  readonly line: CentreLine;
  readonly profiles: AcrossProfiles;
  readonly roughHalfPx: Float64Array;
  /** 1 where a station is single-layer ink between two edges of its own. */
  readonly single: Uint8Array;
  /** … and far enough from an end that its width counts. */
  readonly inner: Uint8Array;
}

/** Shorter pieces than this hold no width worth having, px. */
const LEAST_PIXELS = 4;
/** Strokes of up to so many pixels altogether have a station at every one; of longer ones most have them further apart … */
const ENOUGH_PX = 6000;
/** … but no further than this, mm: as far as the pixels of a scan of 300 an inch lie, whose edges are seen as well (study edges). */
const MOST_STEP_MM = 25.4 / 300;
/** Profiles reach so far beyond the edge, mm: as far as a wide halo. */
const BEYOND_MM = 1.1;
/** Rows are read so many half widths out at once, where nearly all edges lie; what lies further out is read where it is asked for. */
const NEAR_HALVES = 1.4;
/** A broader mark is no pen's line (a swab in the box, paper that was marked where there is none), and profiles across it would be endless, mm. */
const WIDEST_HALF_MM = 2.5;
/** Of the half width: the middle is smoothed over this much either way. */
const MIDDLE_WINDOW = 1.6;

/** @param contrast Spline coefficients of the ink's contrast. */
export function strokeLines(
  contrast: Float32Array,
  ink: Ink,
  inside: Pick<StrokeInterior, 'graph' | 'crossings'>,
  pxPerMm: number,
  levels: EdgeLevels,
): StrokeEdges[] {
  const { mask, depthPx } = ink;
  const { widthPx: w, heightPx: h } = mask;
  const step = pxPerMm > 18 ? 0.75 : 0.5;
  const half = (pixel: number) => Math.max(1, depthPx[pixel] - 0.5);
  const paths = skeletonPaths(inside.graph, w).filter(({ pixels }) => pixels.length >= LEAST_PIXELS);
  const lines = centreLines(paths, w, stationsApart(paths, pxPerMm), (p) => Math.max(3, MIDDLE_WINDOW * half(p)));
  const rough = lines.map((first) => ({ first, depths: depthsAlong(first, depthPx, w, h) }));
  const penLines = rough.filter(({ depths }) => mostOf(depths) <= WIDEST_HALF_MM * pxPerMm);
  return penLines.map(({ first, depths }): StrokeEdges => {
    const within = 1.5 * mostOf(depths) + 3 * levels.sigmaPx + 2;
    const near = acrossProfiles(contrast, w, h, first, within, step);
    const edges = lineEdges(near, depths, levels, pxPerMm);
    const line = throughMiddles(first, edges, depths);
    const roughHalfPx = depthsAlong(line, depthPx, w, h);
    const reach = 1.3 * mostOf(roughHalfPx) + BEYOND_MM * pxPerMm;
    const nearPx = roughHalfPx.map((half) => NEAR_HALVES * half + 4 * levels.sigmaPx + 2);
    const profiles = acrossProfiles(contrast, w, h, line, reach, step, nearPx);
    const single = singleStations(line, roughHalfPx, inside.crossings.data, w, h);
    return { line, profiles, roughHalfPx, single, inner: innerStations(line, roughHalfPx, single) };
  });
}

/** From station to station of each stroke, px: 1 of all, or of as many evenly from all over the region as are enough. */
function stationsApart(paths: readonly SkeletonPath[], pxPerMm: number): (path: number) => number {
  let total = 0;
  for (const { pixels } of paths) total += pixels.length;
  const every = Math.max(1, Math.floor(total / ENOUGH_PX));
  const apart = Math.max(1, Math.min(total / ENOUGH_PX, MOST_STEP_MM * pxPerMm));
  return (path) => (path % every === 0 ? 1 : apart);
}

function mostOf(values: Float64Array): number {
  let most = -Infinity;
  for (const v of values) if (v > most) most = v;
  return most;
}

/** The skeleton lies up to a pixel beside the middle of the two edges. */
function throughMiddles(first: CentreLine, { left, right }: TwoEdges, depths: Float64Array): CentreLine {
  const n = first.x.length;
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  let half = 0;
  for (let i = 0; i < n; i++) {
    const shift = (right.away[i] - left.away[i]) / 2;
    // A wild middle (a crossing, another stroke beside it) is no better than the skeleton.
    const by = Number.isNaN(shift) || Math.abs(shift) > 0.5 * depths[i] + 1 ? 0 : shift;
    x[i] = first.x[i] + by * first.nx[i];
    y[i] = first.y[i] + by * first.ny[i];
    half += depths[i] / n;
  }
  return lineThrough(x, y, Math.max(3, MIDDLE_WINDOW * half), first.aimedStepPx, first.freeStart, first.freeEnd);
}

/** Half the width by the mask, a little smoothed. */
function depthsAlong(line: CentreLine, depthPx: Float32Array, w: number, h: number): Float64Array {
  const out = new Float64Array(line.x.length);
  for (let i = 0; i < out.length; i++) {
    let deepest = 0.5;
    for (let step = -1; step <= 1; step++) {
      const px = Math.min(w - 1, Math.max(0, Math.round(line.x[i] + step * line.nx[i])));
      const py = Math.min(h - 1, Math.max(0, Math.round(line.y[i] + step * line.ny[i])));
      deepest = Math.max(deepest, depthPx[py * w + px] - 0.5);
    }
    out[i] = deepest;
  }
  return out;
}

function singleStations(
  line: CentreLine,
  roughHalfPx: Float64Array,
  crossings: Uint8Array,
  w: number,
  h: number,
): Uint8Array {
  const n = line.x.length;
  const single = new Uint8Array(n).fill(1);
  const isCrossing = (x: number, y: number) => {
    const px = Math.round(x);
    const py = Math.round(y);
    return px < 1 || py < 1 || px >= w - 1 || py >= h - 1 || crossings[py * w + px] === 1;
  };
  const margin = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    const reach = roughHalfPx[i];
    for (const share of [-0.9, 0, 0.9]) {
      if (isCrossing(line.x[i] + share * reach * line.nx[i], line.y[i] + share * reach * line.ny[i])) margin[i] = 1;
    }
  }
  for (let i = 0; i < n; i++) {
    if (margin[i] === 0) continue;
    const away = Math.ceil((0.5 * roughHalfPx[i]) / line.stepPx);
    for (let k = Math.max(0, i - away); k <= Math.min(n - 1, i + away); k++) single[k] = 0;
  }
  // Where a stroke turns more sharply than it is wide, its inner edge folds over itself.
  for (let i = 0; i < n; i++) if (Math.abs(line.turn[i]) * 1.15 * roughHalfPx[i] > 1) single[i] = 0;
  return single;
}

function innerStations(line: CentreLine, roughHalfPx: Float64Array, single: Uint8Array): Uint8Array {
  const n = single.length;
  const inner = Uint8Array.from(single);
  for (let i = 0; i < n; i++) {
    // The skeleton stops half a width short of the end already.
    const own = (1.2 * roughHalfPx[i]) / line.stepPx;
    if ((line.freeStart && i < own) || (line.freeEnd && n - 1 - i < own)) inner[i] = 0;
  }
  return inner;
}
