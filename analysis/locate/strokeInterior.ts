/**
 * The part of a writing sample whose colour is the ink's: away from the edges' blur and away from places where the pen
 * passed twice. Crossings and retraced strokes hold two layers; counted in, they would shift a sample's shading by 3 ΔE00.
 */
import { strokeDirection, type StrokeDirection, TURN_X, TURN_Y } from '../raster/alongStroke.ts';
import { maskPixels } from '../raster/maskPixels.ts';
import type { Mask } from '../raster/raster.ts';
import { NEW_ROOMS, type Rooms } from '../raster/rooms.ts';
import type { Ink } from './inkMask.ts';
import { growDoubleLayers, type KnownLayers } from './doubleLayers.ts';
import { withoutHairs } from './hairless.ts';
import { type Junction, type SkeletonGraph, skeletonGraph } from './skeletonGraph.ts';
import { addSingleAmongDoubled, type BesideTwo } from './singleAmongDoubled.ts';
import { erf } from '../normalCurve.ts';
import { upperMedian } from '../quantile.ts';

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
  /** Mean width of the strokes: their area over the length of their skeleton, px. */
  readonly widthPx: number;
  /** Middles of the strokes and where they meet; hairs of a feathered edge are no strokes. */
  readonly graph: SkeletonGraph;
  /** True: `interior` is nothing but the strokes' core line, which blur has paled; see `coreFraction`. */
  readonly narrow: boolean;
  /** Along the stroke at every pixel of ink. */
  readonly direction: StrokeDirection;
  /** Interior pixels that are a core line's: of all others `coreFraction` is 1. */
  readonly crestPixels: Int32Array;
  /** Interior pixels beside two layers, whose blur reaches them: they take the colour of the nearest that it does not reach. */
  readonly besideTwo: BesideTwo | null;
  /** Share of the true contrast that an interior pixel keeps: 1 well inside, less on a core line; also were the stroke so much narrower. */
  readonly coreFraction: (pixel: number, narrowerPx?: number) => number;
}

/** @param scannerBlurPx Sigma of the scanner's blur; null: told from the ink's own edges */
export function strokeInterior(
  ink: Ink,
  dpi: number,
  scannerBlurPx: number | null,
  options: InteriorOptions = {},
  rooms: Rooms = NEW_ROOMS,
): StrokeInterior {
  const pxPerMm = dpi / 25.4;
  const used = { ...INTERIOR_DEFAULTS, ...options };
  const { mask, depthPx } = ink;
  const pixels = maskPixels(mask);
  const { opened, fine } = withoutHairs(mask, pixels, depthPx, pxPerMm, rooms);
  const graph = skeletonGraph(opened, depthPx, rooms);
  const ridge = (fine && opened !== mask ? skeletonGraph(mask, depthPx, rooms) : graph).branches.flatMap(
    (b) => b.pixels,
  );
  const { widthPx: w, heightPx: h } = mask;
  const roughWidthPx =
    2 *
      upperMedian(
        ridge.map((p) => depthPx[p]),
        0,
      ) -
    1;
  const direction = strokeDirection(depthPx, pixels, w, h, Math.max(2, roughWidthPx / 2), rooms);
  const widthPx = meanWidth(pixels.length, ridge, direction) ?? roughWidthPx;
  const edgePx = ink.edgeWidthPx ?? 2;
  // 10–90 % of a blurred step is 2.563 sigma.
  const blurSigmaPx = scannerBlurPx ?? edgePx / 2.563;
  const { crossings, layers } = doubleLayers(ink, graph, edgePx, used.doubleLayer, pxPerMm, rooms);
  const narrow = widthPx < used.narrowPx;
  const depth = Math.max(used.minDepthPx, edgePx) + 0.5;
  const interior = rooms.zeroBytes(mask.data.length);
  let besideTwo: BesideTwo | null = null;
  if (!narrow) {
    for (let from = 0; from < pixels.length; from += CHUNK) keepDeep(pixels, from, depthPx, depth, crossings, interior);
    if (layers) besideTwo = addSingleAmongDoubled(ink, crossings, interior, layers, { edgePx, depth, pxPerMm });
  }
  // Where a stroke has no interior of its own (an upstroke of a broad nib, all of a fine one) its core line stands for it.
  const crestWidthPx = new Map<number, number>();
  const scale = widthPx / Math.max(1, roughWidthPx);
  for (const p of ridge) {
    if (!narrow && depthPx[p] >= depth) continue;
    const top = crest(ink.contrast, w, p, direction);
    if (crossings[top] || interior[top]) continue;
    interior[top] = 1;
    // A fine nib's width hardly varies, and a single depth is whole pixels: its mean says more.
    crestWidthPx.set(top, narrow ? widthPx : Math.max(2, (2 * depthPx[p] - 1) * scale));
  }
  return {
    interior: { data: interior, widthPx: w, heightPx: h },
    crossings: { data: crossings, widthPx: w, heightPx: h },
    widthPx,
    graph,
    narrow,
    direction,
    besideTwo,
    crestPixels: Int32Array.from(crestWidthPx.keys()),
    coreFraction: (pixel, narrowerPx = 0) => {
      const own = crestWidthPx.get(pixel);
      return own === undefined
        ? 1
        : boxAt(offAxis(ink.contrast, w, pixel, direction), Math.max(1, own - narrowerPx), blurSigmaPx);
    },
  };
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 512;

/** Marks pixels this deep in single layers of ink. */
function keepDeep(
  pixels: Int32Array,
  from: number,
  depthPx: Float32Array,
  depth: number,
  crossings: Uint8Array,
  out: Uint8Array,
): void {
  for (let k = from, end = Math.min(pixels.length, from + CHUNK); k < end; k++) {
    const i = pixels[k];
    if (depthPx[i] >= depth && crossings[i] === 0) out[i] = 1;
  }
}

/** Area over length; null without a skeleton. The skeleton stops half a width short of a stroke's ends, which its own width makes good. */
function meanWidth(area: number, ridge: readonly number[], direction: StrokeDirection): number | null {
  let length = 0;
  for (let from = 0; from < ridge.length; from += CHUNK) length = longerBy(ridge, from, direction, length);
  return length > 0 ? area / length : null;
}

/** A slanting skeleton takes fewer pixels than it is long. */
function longerBy(ridge: readonly number[], from: number, direction: StrokeDirection, before: number): number {
  let length = before;
  for (let k = from, end = Math.min(ridge.length, from + CHUNK); k < end; k++) {
    const turn = direction[ridge[k]];
    length += 1 / Math.max(0.5, Math.abs(TURN_X[turn]), Math.abs(TURN_Y[turn]));
  }
  return length;
}

/** A box of this width blurred by a Gaussian, read `offset` px off its axis, as a share of its height. */
function boxAt(offset: number, widthPx: number, sigmaPx: number): number {
  const scale = Math.SQRT2 * Math.max(0.1, sigmaPx);
  return 0.5 * (erf((widthPx / 2 + offset) / scale) + erf((widthPx / 2 - offset) / scale));
}

/** Thinning leaves the skeleton up to a pixel beside the crest: of the pixel and its two neighbours across, the darkest. */
function crest(contrast: Float32Array, w: number, pixel: number, direction: StrokeDirection): number {
  const across = acrossStep(w, pixel, direction);
  return [pixel - across, pixel + across].reduce((best, p) => (contrast[p] > contrast[best] ? p : best), pixel);
}

function acrossStep(w: number, pixel: number, direction: StrokeDirection): number {
  return Math.abs(TURN_X[direction[pixel]]) >= Math.abs(TURN_Y[direction[pixel]]) ? w : 1;
}

/** How far the stroke's axis lies from this pixel's centre across the stroke: the vertex of a parabola through three pixels. */
function offAxis(contrast: Float32Array, w: number, pixel: number, direction: StrokeDirection): number {
  const across = acrossStep(w, pixel, direction);
  const [before, here, behind] = [contrast[pixel - across], contrast[pixel], contrast[pixel + across]];
  const bend = before - 2 * here + behind;
  if (!(bend < 0)) return 0;
  const vertex = Math.min(0.75, Math.max(-0.75, (0.5 * (before - behind)) / bend));
  // The neighbour lies along the raster, not along the stroke's normal.
  return vertex * Math.max(Math.abs(TURN_X[direction[pixel]]), Math.abs(TURN_Y[direction[pixel]]));
}

/** Discs about the junctions, bridges between the two halves of a slanting crossing, and branches that are dense throughout. */
function doubleLayers(
  ink: Ink,
  graph: SkeletonGraph,
  edgePx: number,
  doubleLayer: number,
  pxPerMm: number,
  rooms: Rooms,
): { readonly crossings: Uint8Array; readonly layers: KnownLayers | null } {
  const { widthPx: w, heightPx: h } = ink.mask;
  const out = rooms.zeroBytes(w * h);
  // The disc about a knot of the skeleton touches the corners between the arms, which is where the doubled ink ends.
  for (const j of graph.junctions) {
    for (const p of j.pixels) fillDisc(out, w, h, p % w, Math.floor(p / w), 1.1 * ink.depthPx[p] + edgePx / 2 + 0.5);
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
      const known = others.filter((o) => o !== null);
      return own !== null && known.length === others.length && own > doubleLayer * upperMedian(known, 0);
    });
  });
  spreadBranches(ink, graph, doomed, out);
  const layers = growDoubleLayers(
    ink,
    out,
    graph.branches.flatMap((b) => b.pixels),
    edgePx,
    pxPerMm,
  );
  return { crossings: out, layers };
}

/** Mean absorbance of a branch's pixels just beyond a junction's disc, over about two stroke widths; null when too short to tell. */
function branchDensity(ink: Ink): (pixels: readonly number[], junction: Junction) => number | null {
  const w = ink.mask.widthPx;
  return (pixels, junction) => {
    let sum = 0;
    let count = 0;
    const from = 1.2 * junction.radiusPx + 1;
    for (const p of pixels) {
      const distance = Math.min(
        ...junction.pixels.map((q) => Math.hypot((p % w) - (q % w), Math.floor(p / w) - Math.floor(q / w))),
      );
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
