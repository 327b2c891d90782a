/**
 * The part of a writing sample whose colour is the ink's: away from the edges' blur and away from places where the pen
 * passed twice. Crossings and retraced strokes hold two layers; counted in, they would shift a sample's shading by 3 ΔE00.
 */
import type { Mask } from '../raster/raster.ts';
import type { Ink } from './inkMask.ts';
import { type SkeletonGraph, skeletonGraph } from './skeletonGraph.ts';

export interface InteriorOptions {
  /** Least distance from the edge, px. @default 2 */
  readonly minDepthPx?: number;
  /** Strokes narrower than this are read along their core line and corrected for blur, px. @default 6 */
  readonly narrowPx?: number;
  /** A branch this many times as dense as those that it joins holds two layers. @default 1.3 */
  readonly doubleLayer?: number;
}
export const INTERIOR_DEFAULTS = { minDepthPx: 2, narrowPx: 6, doubleLayer: 1.3 } satisfies Required<InteriorOptions>;

export interface StrokeInterior {
  /** Single-layer pixels whose colour counts. */
  readonly interior: Mask;
  /** Pixels left out as double layers. */
  readonly crossings: Mask;
  /** Median width of the strokes along their skeleton, px. */
  readonly widthPx: number;
  /** True: `interior` is the strokes' core line, which blur has paled; see `coreFraction`. */
  readonly narrow: boolean;
  /** Share of the true contrast that the core of a stroke of this width keeps, 0..1. */
  readonly coreFraction: number;
}

export function strokeInterior(ink: Ink, scannerBlurPx: number | null, options: InteriorOptions = {}): StrokeInterior {
  const used = { ...INTERIOR_DEFAULTS, ...options };
  const { mask, depthPx } = ink;
  const graph = skeletonGraph(mask, depthPx);
  const ridge = graph.branches.flatMap((b) => b.pixels);
  const widthPx = 2 * medianOf(ridge.map((p) => depthPx[p])) - 1;
  const narrow = widthPx < used.narrowPx;
  const edgePx = ink.edgeWidthPx ?? 2;
  // 10–90 % of a blurred step is 2.563 sigma.
  const blurSigmaPx = scannerBlurPx ?? edgePx / 2.563;
  const crossings = doubleLayers(ink, graph, edgePx, used.doubleLayer);
  const interior = new Uint8Array(mask.data.length);
  if (narrow) {
    for (const p of ridge) if (!crossings[p]) interior[p] = 1;
  } else {
    const depth = Math.max(used.minDepthPx, edgePx) + 0.5;
    for (let i = 0; i < interior.length; i++) if (depthPx[i] >= depth && !crossings[i]) interior[i] = 1;
  }
  const { widthPx: w, heightPx: h } = mask;
  return {
    interior: { data: interior, widthPx: w, heightPx: h },
    crossings: { data: crossings, widthPx: w, heightPx: h },
    widthPx,
    narrow,
    coreFraction: erf(widthPx / (2 * Math.SQRT2 * blurSigmaPx)),
  };
}

/** Discs about the junctions, bridges between the two halves of a slanting crossing, and branches that are dense throughout. */
function doubleLayers(ink: Ink, graph: SkeletonGraph, edgePx: number, doubleLayer: number): Uint8Array {
  const { widthPx: w, heightPx: h } = ink.mask;
  const out = new Uint8Array(w * h);
  for (const j of graph.junctions) {
    fillDisc(out, w, h, j.xPx, j.yPx, 1.1 * j.radiusPx + edgePx / 2 + 0.5);
  }
  const density = branchDensity(ink);
  const doomed = graph.branches.map((branch, index) => {
    const longest = Math.max(0, ...branch.junctions.map((j) => graph.junctions[j].radiusPx));
    if (branch.junctions.length === 2 && branch.pixels.length < 2 * longest) return true;
    return branch.junctions.some((j) => {
      const junction = graph.junctions[j];
      const others = junction.branches
        .filter((b) => b !== index)
        .map((b) => density(graph.branches[b].pixels, junction));
      const own = density(branch.pixels, junction);
      return own !== null && others.every((o) => o !== null) && own > doubleLayer * medianOf(others as number[]);
    });
  });
  spreadBranches(ink, graph, doomed, out);
  return out;
}

/** Mean absorbance of the pixels of a branch within about 1.5 mm beyond a junction's disc; null when too short to tell. */
function branchDensity(
  ink: Ink,
): (pixels: readonly number[], junction: { xPx: number; yPx: number; radiusPx: number }) => number | null {
  const w = ink.mask.widthPx;
  return (pixels, junction) => {
    let sum = 0;
    let count = 0;
    const from = 1.2 * junction.radiusPx + 1;
    for (const p of pixels) {
      const distance = Math.hypot((p % w) - junction.xPx, Math.floor(p / w) - junction.yPx);
      if (distance < from || distance > from + 5 * junction.radiusPx) continue;
      sum += -Math.log(Math.max(0.01, 1 - 0.98 * ink.contrast[p]));
      count++;
    }
    return count >= 3 ? sum / count : null;
  };
}

/** Marks all ink that is nearer (through ink) to a doomed branch than to any other. */
function spreadBranches(ink: Ink, graph: SkeletonGraph, doomed: readonly boolean[], out: Uint8Array): void {
  if (!doomed.includes(true)) return;
  const { widthPx: w, heightPx: h, data } = ink.mask;
  const owner = new Int32Array(w * h).fill(-1);
  let front: number[] = [];
  graph.branches.forEach((branch, b) => {
    for (const p of branch.pixels) {
      owner[p] = b;
      front.push(p);
    }
  });
  while (front.length > 0) {
    const next: number[] = [];
    for (const p of front) {
      const x = p % w;
      if (x > 0) claim(p - 1, p);
      if (x < w - 1) claim(p + 1, p);
      if (p >= w) claim(p - w, p);
      if (p < w * (h - 1)) claim(p + w, p);
    }
    front = next;
    function claim(q: number, from: number) {
      if (!data[q] || owner[q] >= 0) return;
      owner[q] = owner[from];
      next.push(q);
    }
  }
  for (let i = 0; i < out.length; i++) if (owner[i] >= 0 && doomed[owner[i]]) out[i] = 1;
}

function fillDisc(out: Uint8Array, w: number, h: number, cx: number, cy: number, radius: number): void {
  for (let y = Math.max(0, Math.ceil(cy - radius)); y <= Math.min(h - 1, cy + radius); y++) {
    for (let x = Math.max(0, Math.ceil(cx - radius)); x <= Math.min(w - 1, cx + radius); x++) {
      if ((x - cx) ** 2 + (y - cy) ** 2 <= radius * radius) out[y * w + x] = 1;
    }
  }
}

function medianOf(values: readonly number[]): number {
  if (values.length === 0) return 0;
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1];
}

/** Error function, absolute error below 1.5e-7. Source: Abramowitz & Stegun (1964), 7.1.26. */
function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x));
  const y =
    1 -
    ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t * Math.exp(-x * x);
  return x < 0 ? -y : y;
}
