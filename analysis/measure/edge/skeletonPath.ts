/** A skeleton's branches as paths from end to end; branches that only a pruned spur had parted are joined again. */
import type { SkeletonGraph } from '../../locate/skeletonGraph.ts';

export interface SkeletonPath {
  /** Neighbours follow one another. */
  readonly pixels: readonly number[];
  readonly freeStart: boolean;
  readonly freeEnd: boolean;
}

/** A pruned spur leaves a gap of its own knot, px. */
const GAP_PX = 6;

export function skeletonPaths(graph: SkeletonGraph, widthPx: number): SkeletonPath[] {
  const knots = graph.junctions.map((j) => j.pixels);
  const paths = graph.branches.map((branch): SkeletonPath => {
    const pixels = ordered(branch.pixels, widthPx);
    const atKnot = (pixel: number) =>
      branch.junctions.some((j) => knots[j].some((q) => distance(pixel, q, widthPx) < 2.5));
    return { pixels, freeStart: !atKnot(pixels[0]), freeEnd: !atKnot(pixels[pixels.length - 1]) };
  });
  return joined(paths, widthPx);
}

/** From one end to the other; a closed loop is cut open. */
function ordered(pixels: readonly number[], w: number): number[] {
  const inside = new Set(pixels);
  const there = farthest(pixels[0], inside, w);
  const path = farthest(there[0], inside, w);
  if (path.length > 0.7 * pixels.length) return path;
  const start = pixels[0];
  for (const d of [0, ...ring(w)]) inside.delete(start + d);
  const rest = pixels.find((p) => inside.has(p));
  if (rest === undefined) return path;
  const half = farthest(rest, inside, w);
  return farthest(half[0], inside, w);
}

/** Pixels of the way from the one that is reached last to `start`. */
function farthest(start: number, inside: ReadonlySet<number>, w: number): number[] {
  const from = new Map<number, number>([[start, -1]]);
  const queue = [start];
  for (const p of queue) {
    for (const d of ring(w)) {
      const q = p + d;
      if (!inside.has(q) || from.has(q)) continue;
      from.set(q, p);
      queue.push(q);
    }
  }
  const path: number[] = [];
  for (let p = queue[queue.length - 1]; p >= 0; p = from.get(p)!) path.push(p);
  return path;
}

/** Straight steps first, so that a way is not longer than it need be. */
function ring(w: number): readonly number[] {
  return [1, -1, w, -w, w + 1, w - 1, -w + 1, -w - 1];
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
  const cells = new Map<string, number[]>();
  const cellOf = (p: number): readonly [number, number] => [
    Math.floor((p % w) / GAP_PX),
    Math.floor(Math.floor(p / w) / GAP_PX),
  ];
  ends.forEach((end, k) => {
    const key = cellOf(end.pixel).join();
    cells.set(key, [...(cells.get(key) ?? []), k]);
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
        for (const k of cells.get(`${x},${y}`) ?? []) {
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
    const pixels: number[] = [];
    let path = start;
    let along = forward;
    for (;;) {
      used.add(path);
      const own = paths[path].pixels;
      pixels.push(...(along ? own : own.toReversed()));
      const next = partner.get(`${path}${along ? 'e' : 's'}`);
      const free = along ? paths[path].freeEnd : paths[path].freeStart;
      if (!next || used.has(next.path)) return { pixels, free: free && !next };
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

function distance(p: number, q: number, w: number): number {
  return Math.hypot((p % w) - (q % w), Math.floor(p / w) - Math.floor(q / w));
}
