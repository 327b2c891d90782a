/** A stroke mask's skeleton taken apart into branches and the junctions where they meet; spurs of rough edges pruned. */
import type { Mask } from '../raster/raster.ts';
import { thin } from '../raster/thin.ts';

export interface Branch {
  /** Pixel indices, in no particular order. */
  readonly pixels: readonly number[];
  /** Junctions (indices into `junctions`) that this branch ends at; none for a lone stroke, one for a stroke's end piece. */
  readonly junctions: readonly number[];
}

export interface Junction {
  /** Centre, px. */
  readonly xPx: number;
  readonly yPx: number;
  /** Radius of the largest disc of ink about it, px. */
  readonly radiusPx: number;
  readonly branches: readonly number[];
}

export interface SkeletonGraph {
  readonly branches: readonly Branch[];
  /** Only those where three or more branches meet once spurs are gone. */
  readonly junctions: readonly Junction[];
}

export function skeletonGraph(mask: Mask, depthPx: Float32Array): SkeletonGraph {
  const { widthPx: w } = mask;
  const skeleton = thin(mask).data;
  const junctionOf = clusterJunctions(skeleton, w);
  const clusters = Math.max(-1, ...junctionOf.values()) + 1;
  const branches = traceBranches(skeleton, junctionOf, w);
  const centres = Array.from({ length: clusters }, () => ({ x: 0, y: 0, n: 0, radius: 0 }));
  for (const [pixel, cluster] of junctionOf) {
    const c = centres[cluster];
    c.x += pixel % w;
    c.y += Math.floor(pixel / w);
    c.n++;
    c.radius = Math.max(c.radius, depthPx[pixel]);
  }
  // A branch that ends in the open and is no longer than the stroke is wide is a bump of the edge, not a stroke.
  const isSpur = (b: Branch) => b.junctions.length === 1 && b.pixels.length < centres[b.junctions[0]].radius * 1.2;
  const kept = branches.filter((b) => !isSpur(b));
  const junctions = centres.map((c, k) => ({
    xPx: c.x / c.n,
    yPx: c.y / c.n,
    radiusPx: c.radius,
    branches: kept.flatMap((b, i) => b.junctions.filter((j) => j === k).map(() => i)),
  }));
  const real = junctions.flatMap((j, k) => (j.branches.length >= 3 ? [k] : []));
  const renumber = new Map(real.map((k, i) => [k, i]));
  return {
    branches: kept.map((b) => ({ pixels: b.pixels, junctions: b.junctions.flatMap((j) => renumber.get(j) ?? []) })),
    junctions: real.map((k) => junctions[k]),
  };
}

/** Neighbour offsets once around. */
function around(w: number): readonly number[] {
  return [-w, -w + 1, 1, w + 1, w, w - 1, -1, -w - 1];
}

/** Skeleton pixels with three or more separate arms, neighbouring ones joined: pixel → cluster. */
function clusterJunctions(skeleton: Uint8Array, w: number): Map<number, number> {
  const ring = around(w);
  const found: number[] = [];
  for (let i = 0; i < skeleton.length; i++) {
    if (!skeleton[i]) continue;
    let arms = 0;
    let neighbours = 0;
    for (let k = 0; k < 8; k++) {
      if (skeleton[i + ring[k]]) neighbours++;
      if (!skeleton[i + ring[k]] && skeleton[i + ring[(k + 1) % 8]]) arms++;
    }
    if (arms >= 3 || (arms === 2 && neighbours >= 4)) found.push(i);
  }
  const set = new Set(found);
  const cluster = new Map<number, number>();
  let next = 0;
  for (const start of found) {
    if (cluster.has(start)) continue;
    const stack = [start];
    cluster.set(start, next);
    while (stack.length > 0) {
      const p = stack.pop()!;
      for (const d of ring) {
        if (set.has(p + d) && !cluster.has(p + d)) {
          cluster.set(p + d, next);
          stack.push(p + d);
        }
      }
    }
    next++;
  }
  return cluster;
}

function traceBranches(skeleton: Uint8Array, junctionOf: ReadonlyMap<number, number>, w: number): Branch[] {
  const ring = around(w);
  const seen = new Uint8Array(skeleton.length);
  const branches: Branch[] = [];
  for (let start = 0; start < skeleton.length; start++) {
    if (!skeleton[start] || seen[start] || junctionOf.has(start)) continue;
    const pixels = [start];
    const touched: number[] = [];
    seen[start] = 1;
    for (let k = 0; k < pixels.length; k++) {
      for (const d of ring) {
        const q = pixels[k] + d;
        if (!skeleton[q]) continue;
        const junction = junctionOf.get(q);
        if (junction !== undefined) {
          if (!touched.includes(junction)) touched.push(junction);
        } else if (!seen[q]) {
          seen[q] = 1;
          pixels.push(q);
        }
      }
    }
    branches.push({ pixels, junctions: touched });
  }
  return branches;
}
