/** A skeleton's branches as paths from end to end; branches that only a pruned spur had parted are joined again. */
import type { SkeletonGraph } from '../../locate/skeletonGraph.ts';

export interface SkeletonPath {
  /** Neighbours follow one another. */
  readonly pixels: Int32Array;
  readonly freeStart: boolean;
  readonly freeEnd: boolean;
}

/** A pruned spur leaves a gap of its own knot, px. */
const GAP_PX = 6;

/** @param widthPx, heightPx of the raster that the graph's pixels count in. @returns pixels in order along each path */
export function skeletonPaths(graph: SkeletonGraph, widthPx: number, heightPx: number): SkeletonPath[] {
  const knots = graph.junctions.map((j) => j.pixels);
  let longest = 0;
  for (const { pixels } of graph.branches) longest = Math.max(longest, pixels.length);
  const walk: Walk = {
    inside: new Uint8Array(widthPx * heightPx),
    queue: new Int32Array(longest),
    before: new Int32Array(longest),
    // Straight steps first, so that a way is not longer than it need be.
    steps: [1, -1, widthPx, -widthPx, widthPx + 1, widthPx - 1, -widthPx + 1, -widthPx - 1],
  };
  const paths = graph.branches.map((branch): SkeletonPath => {
    const pixels = ordered(branch.pixels, walk);
    const atKnot = (pixel: number) =>
      branch.junctions.some((j) => knots[j].some((q) => distance(pixel, q, widthPx) < 2.5));
    return { pixels, freeStart: !atKnot(pixels[0]), freeEnd: !atKnot(pixels[pixels.length - 1]) };
  });
  return joined(paths, widthPx);
}

interface Walk {
  /** 1 at pixels of the branch that were not met yet; one a pixel of the region. */
  readonly inside: Uint8Array;
  /** Pixels as they are met, and which of them each was met from. */
  readonly queue: Int32Array;
  readonly before: Int32Array;
  /** To the eight neighbours. */
  readonly steps: readonly number[];
}

/** From one end to the other; a closed loop is cut open. */
function ordered(pixels: ArrayLike<number>, walk: Walk): Int32Array {
  const path = acrossWhole(pixels, walk, pixels[0], -1);
  if (path.length > 0.7 * pixels.length) return path;
  const { inside } = walk;
  mark(inside, pixels, 1);
  clearAbout(walk, pixels[0]);
  let rest = -1;
  for (let k = 0; k < pixels.length && rest < 0; k++) if (inside[pixels[k]] === 1) rest = pixels[k];
  mark(inside, pixels, 0);
  return rest < 0 ? path : acrossWhole(pixels, walk, rest, pixels[0]);
}

/** Between the two pixels that lie farthest apart. @param cut Where a loop is open; -1: it is none. */
function acrossWhole(pixels: ArrayLike<number>, walk: Walk, from: number, cut: number): Int32Array {
  const { queue, before } = walk;
  const there = queue[reach(pixels, walk, from, cut) - 1];
  const found = reach(pixels, walk, there, cut);
  let length = 0;
  for (let k = found - 1; k >= 0; k = before[k]) length++;
  const path = new Int32Array(length);
  for (let k = found - 1, i = 0; k >= 0; k = before[k]) path[i++] = queue[k];
  return path;
}

/** All that hangs together with a pixel, by their distance from it, into the queue. @returns how many */
function reach(pixels: ArrayLike<number>, walk: Walk, start: number, cut: number): number {
  const { inside, queue, before } = walk;
  mark(inside, pixels, 1);
  if (cut >= 0) clearAbout(walk, cut);
  queue[0] = start;
  before[0] = -1;
  inside[start] = 0;
  let found = 1;
  for (let k = 0; k < found; k++) found = meetNeighbours(walk, k, found);
  mark(inside, pixels, 0);
  return found;
}

function meetNeighbours({ inside, queue, before, steps }: Walk, k: number, already: number): number {
  const pixel = queue[k];
  let found = already;
  for (let s = 0; s < 8; s++) {
    const q = pixel + steps[s];
    if (inside[q] !== 1) continue;
    inside[q] = 0;
    before[found] = k;
    queue[found++] = q;
  }
  return found;
}

function mark(inside: Uint8Array, pixels: ArrayLike<number>, value: 0 | 1): void {
  for (let k = 0; k < pixels.length; k++) inside[pixels[k]] = value;
}

function clearAbout({ inside, steps }: Walk, pixel: number): void {
  inside[pixel] = 0;
  for (const d of steps) inside[pixel + d] = 0;
}

function joined(paths: readonly SkeletonPath[], w: number): SkeletonPath[] {
  interface End {
    readonly path: number;
    readonly atStart: boolean;
    readonly pixel: number;
  }
  const ends = paths.flatMap(({ pixels, freeStart, freeEnd }, path): End[] => [
    ...(freeStart ? [{ path, atStart: true, pixel: pixels[0] }] : []),
    ...(freeEnd ? [{ path, atStart: false, pixel: pixels[pixels.length - 1] }] : []),
  ]);
  const cells = new Map<number, number[]>();
  const cellOf = (p: number): readonly [number, number] => [
    Math.floor((p % w) / GAP_PX),
    Math.floor(Math.floor(p / w) / GAP_PX),
  ];
  ends.forEach((end, k) => {
    const [cx, cy] = cellOf(end.pixel);
    const key = cy * w + cx;
    const own = cells.get(key);
    if (own) own.push(k);
    else cells.set(key, [k]);
  });
  const partner = new Map<string, End>();
  const keyOf = (end: End) => `${end.path}${end.atStart ? 's' : 'e'}`;
  for (const end of ends) {
    if (partner.has(keyOf(end))) continue;
    let best: End | null = null;
    let nearest = GAP_PX;
    const [cx, cy] = cellOf(end.pixel);
    for (let y = cy - 1; y <= cy + 1; y++) {
      for (let x = cx - 1; x <= cx + 1; x++) {
        for (const k of cells.get(y * w + x) ?? []) {
          const other = ends[k];
          if (other.path === end.path || partner.has(keyOf(other))) continue;
          const gap = distance(end.pixel, other.pixel, w);
          if (gap >= nearest) continue;
          nearest = gap;
          best = other;
        }
      }
    }
    if (best === null) continue;
    partner.set(keyOf(end), best);
    partner.set(keyOf(best), end);
  }
  const used = new Set<number>();
  const chains: SkeletonPath[] = [];
  const grow = (start: number, forward: boolean) => {
    const pieces: Int32Array[] = [];
    let path = start;
    let along = forward;
    for (;;) {
      used.add(path);
      const own = paths[path].pixels;
      pieces.push(along ? own : own.toReversed());
      const next = partner.get(`${path}${along ? 'e' : 's'}`);
      const free = along ? paths[path].freeEnd : paths[path].freeStart;
      if (!next || used.has(next.path)) return { pixels: inOne(pieces), free: free && !next };
      path = next.path;
      along = next.atStart;
    }
  };
  // First from ends that have no partner, then what is left: rings of joined pieces.
  for (const all of [false, true]) {
    for (let p = 0; p < paths.length; p++) {
      if (used.has(p)) continue;
      const [s, e] = [partner.has(`${p}s`), partner.has(`${p}e`)];
      if (s && e && !all) continue;
      const forward = !s || e;
      const freeStart = forward ? paths[p].freeStart && !s : paths[p].freeEnd && !e;
      const { pixels, free } = grow(p, forward);
      chains.push({ pixels, freeStart, freeEnd: free });
    }
  }
  return chains;
}

function inOne(pieces: readonly Int32Array[]): Int32Array {
  if (pieces.length === 1) return pieces[0];
  let length = 0;
  for (const piece of pieces) length += piece.length;
  const whole = new Int32Array(length);
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

function distance(p: number, q: number, w: number): number {
  return Math.hypot((p % w) - (q % w), Math.floor(p / w) - Math.floor(q / w));
}
