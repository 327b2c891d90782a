/** Single-layer strokes of a region, station by station: their middles, what is read across them, and which stations count. */
import type { Ink } from '../../locate/inkMask.ts';
import type { StrokeInterior } from '../../locate/strokeInterior.ts';
import type { Mask } from '../../raster/raster.ts';
import { type AcrossProfiles, acrossProfiles } from './acrossProfile.ts';
import { type CentreLine, lineThrough } from './centreLine.ts';
import { directionsOf } from './direction.ts';
import { roughMiddles } from './roughMiddles.ts';
import { type SkeletonPath, skeletonPaths } from './skeletonPath.ts';
import { bendOf } from './smoothPath.ts';
import type { TiledSpline } from '../../raster/tiledSpline.ts';

export interface StrokeEdges {
  readonly line: CentreLine;
  readonly profiles: AcrossProfiles;
  readonly roughHalfPx: Float64Array;
  /** Which of the directions (direction.ts) the line has, per station. */
  readonly direction: Uint8Array;
  /** One over the radius that the line is bent with over some length, per px. */
  readonly bend: Float64Array;
  /** 1 where a station is single-layer ink between two edges of its own. */
  readonly single: Uint8Array;
  /** … and far enough from an end that its width counts. */
  readonly inner: Uint8Array;
}

/** Shorter pieces than this hold no width worth having, px. */
const LEAST_PIXELS = 4;
/** Of more pixels of stroke than this only every second stroke has a station at each; the others' lie further apart … */
const ENOUGH_PX = 6000;
/** … by this, mm: as far as the pixels of a scan of 300 an inch lie, whose edges are seen as well (study edges). */
const MOST_STEP_MM = 25.4 / 300;
/** Profiles reach so far beyond the edge, mm: as far as a wide halo. */
const BEYOND_MM = 1.1;
/** Rows are read so many half widths out at once, where nearly all edges lie; what lies further out is read where it is asked for. */
const NEAR_HALVES = 1.2;
/** A broader mark is no pen's line (a swab in the box, paper that was marked where there is none), and profiles across it would be endless, mm. */
const WIDEST_HALF_MM = 2.5;
/** Of the half width: the middle is smoothed over this much either way, and looked for at steps of this much less. */
const MIDDLE_WINDOW = 1.6;
const MIDDLE_STEP = 0.25;

/**
 * @param spline of the region's contrast, 0 on paper and 1 in the core; @param inside its skeleton and what holds two layers; @param
 * sigmaPx of the edges' blur
 */
export function strokeLines(
  spline: TiledSpline,
  ink: Ink,
  inside: Pick<StrokeInterior, 'graph' | 'crossings'>,
  pxPerMm: number,
  sigmaPx: number,
): StrokeEdges[] {
  const { widthPx: w, heightPx: h } = ink.mask;
  const paths = skeletonPaths(inside.graph, w, h).filter(({ pixels }) => pixels.length >= LEAST_PIXELS);
  let total = 0;
  for (const { pixels } of paths) total += pixels.length;
  const apart = total > ENOUGH_PX ? Math.max(1, MOST_STEP_MM * pxPerMm) : 1;
  const strokes: StrokeEdges[] = [];
  for (const [k, path] of paths.entries()) {
    const stroke = strokeAlong(path, k % 2 === 0 ? 1 : apart);
    if (stroke) strokes.push(stroke);
  }
  return strokes;

  function strokeAlong(path: SkeletonPath, stepPx: number): StrokeEdges | null {
    const skeleton = lineAlong(path, stepPx, ink);
    const depths = depthsAlong(skeleton, ink);
    if (mostOf(depths) > WIDEST_HALF_MM * pxPerMm) return null;
    const line = throughMiddles(skeleton, depths, stepPx, ink, sigmaPx);
    const roughHalfPx = depthsAlong(line, ink);
    const reach = 1.3 * mostOf(roughHalfPx) + BEYOND_MM * pxPerMm;
    const nearPx = roughHalfPx.map((half) => NEAR_HALVES * half + 2 * sigmaPx + 2);
    const profiles = acrossProfiles(spline, line, reach, pxPerMm > 18 ? 0.75 : 0.5, nearPx);
    const single = singleStations(line, roughHalfPx, inside.crossings);
    const inner = innerStations(line, roughHalfPx, single);
    return {
      line,
      profiles,
      roughHalfPx,
      direction: directionsOf(line),
      bend: bendOf(line, pxPerMm),
      single,
      inner,
    };
  }
}

function mostOf(values: Float64Array): number {
  let most = -Infinity;
  for (let i = 0; i < values.length; i++) if (values[i] > most) most = values[i];
  return most;
}

/** The skeleton, smoothed; of broad strokes no more stations than their middles are looked for at. */
function lineAlong({ pixels, freeStart, freeEnd }: SkeletonPath, stepPx: number, { mask, depthPx }: Ink): CentreLine {
  const n = pixels.length;
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  let window = 0;
  let half = 0;
  for (let k = 0; k < n; k++) {
    const row = Math.floor(pixels[k] / mask.widthPx);
    x[k] = pixels[k] - row * mask.widthPx;
    y[k] = row;
    const own = Math.max(1, depthPx[pixels[k]] - 0.5);
    half += own / n;
    window += Math.max(3, MIDDLE_WINDOW * own) / n;
  }
  return lineThrough(x, y, Math.max(2, window), Math.max(stepPx, MIDDLE_STEP * half), freeStart, freeEnd);
}

/** The skeleton lies up to a pixel beside the middle of the two edges. */
function throughMiddles(
  skeleton: CentreLine,
  depths: Float64Array,
  stepPx: number,
  ink: Ink,
  sigmaPx: number,
): CentreLine {
  const n = skeleton.x.length;
  const shift = roughMiddles(skeleton, depths, ink, 1.5 * mostOf(depths) + 3 * sigmaPx + 2);
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  let half = 0;
  for (let i = 0; i < n; i++) {
    // A wild middle (a crossing, another stroke beside it) is no better than the skeleton.
    const by = Math.abs(shift[i]) <= 0.5 * depths[i] + 1 ? shift[i] : 0;
    x[i] = skeleton.x[i] + by * skeleton.nx[i];
    y[i] = skeleton.y[i] + by * skeleton.ny[i];
    half += depths[i] / n;
  }
  return lineThrough(x, y, Math.max(3, MIDDLE_WINDOW * half), stepPx, skeleton.freeStart, skeleton.freeEnd);
}

/** Half the width by the mask, a little smoothed. */
function depthsAlong(line: CentreLine, { mask: { widthPx: w, heightPx: h }, depthPx }: Ink): Float64Array {
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

function singleStations(line: CentreLine, roughHalfPx: Float64Array, crossings: Mask): Uint8Array {
  const n = line.x.length;
  const single = new Uint8Array(n).fill(1);
  for (let i = 0; i < n; i++) {
    const away = 0.9 * roughHalfPx[i];
    const isDouble =
      isCrossing(crossings, line, i, 0) ||
      isCrossing(crossings, line, i, -away) ||
      isCrossing(crossings, line, i, away);
    if (!isDouble) continue;
    const along = Math.ceil((0.5 * roughHalfPx[i]) / line.stepPx);
    single.fill(0, Math.max(0, i - along), i + along + 1);
  }
  // Where a stroke turns more sharply than it is wide, its inner edge folds over itself.
  for (let i = 0; i < n; i++) if (Math.abs(line.turn[i]) * 1.15 * roughHalfPx[i] > 1) single[i] = 0;
  return single;
}

function isCrossing({ data, widthPx: w, heightPx: h }: Mask, line: CentreLine, i: number, by: number): boolean {
  const px = Math.round(line.x[i] + by * line.nx[i]);
  const py = Math.round(line.y[i] + by * line.ny[i]);
  return px < 1 || py < 1 || px >= w - 1 || py >= h - 1 || data[py * w + px] === 1;
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
