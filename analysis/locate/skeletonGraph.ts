/** A stroke mask's skeleton taken apart into branches and the junctions where they meet; spurs of rough edges pruned. */
import type { Mask } from '../raster/raster.ts';
import { thin } from '../raster/thin.ts';

export interface Branch {
  /** Pixel indices, in no particular order. */
  readonly pixels: readonly number[];
  /**
   * Junctions (indices into `junctions`) that this branch ends at: none for a lone stroke, one for a stroke's end piece,
   * the same one twice for a loop.
   */
  readonly junctions: readonly number[];
}

export interface Junction {
  /** Its skeleton pixels; a slanting crossing has two knots that touch and count as one junction. */
  readonly pixels: readonly number[];
  /** Radius of the largest disc of ink about any of them, px. */
  readonly radiusPx: number;
  /** Branches that end here; a loop is named twice. */
  readonly branches: readonly number[];
}

export interface SkeletonGraph {
  readonly branches: readonly Branch[];
  /** Only those where three or more branches meet once spurs are gone. */
  readonly junctions: readonly Junction[];
}

export function skeletonGraph(mask: Mask, depthPx: Float32Array): SkeletonGraph {
  const { widthPx: w } = mask;
  const { data: skeleton, pixels } = thin(mask);
  const clusters = junctionClusters(skeleton, pixels, w);
  const branches = traceBranches(skeleton, pixels, clusters, w);
  const radii = clusters.map((pixels) => pixels.reduce((r, p) => Math.max(r, depthPx[p]), 0));
  // A branch that ends in the open and is no longer than the stroke is wide is a bump of the edge, not a stroke.
  const isSpur = (b: Branch) => b.junctions.length === 1 && b.pixels.length < radii[b.junctions[0]] * 1.2;
  const kept = branches.filter((b) => !isSpur(b));
  const endsOf: number[][] = clusters.map(() => []);
  kept.forEach((b, i) => {
    for (const j of b.junctions) endsOf[j].push(i);
  });
  const junctions = clusters.map((pixels, k) => ({ pixels, radiusPx: radii[k], branches: endsOf[k] }));
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

/** Skeleton pixels with three or more separate arms and all that touch them, in groups that hang together. */
function junctionClusters(skeleton: Uint8Array, pixels: Int32Array, w: number): number[][] {
  const ring = around(w);
  const near = new Set<number>();
  for (const i of pixels) {
    let arms = 0;
    let neighbours = 0;
    for (let k = 0; k < 8; k++) {
      if (skeleton[i + ring[k]]) neighbours++;
      if (!skeleton[i + ring[k]] && skeleton[i + ring[(k + 1) % 8]]) arms++;
    }
    if (arms < 3 && !(arms === 2 && neighbours >= 4)) continue;
    near.add(i);
    // The arms' first pixels touch each other diagonally past the junction: taken into it, the arms come apart.
    for (const d of ring) if (skeleton[i + d]) near.add(i + d);
  }
  const seen = new Set<number>();
  const clusters: number[][] = [];
  for (const start of near) {
    if (seen.has(start)) continue;
    const pixels = [start];
    seen.add(start);
    for (let k = 0; k < pixels.length; k++) {
      for (const d of ring) {
        const q = pixels[k] + d;
        if (near.has(q) && !seen.has(q)) {
          seen.add(q);
          pixels.push(q);
        }
      }
    }
    clusters.push(pixels);
  }
  return clusters;
}

function traceBranches(
  skeleton: Uint8Array,
  all: Int32Array,
  clusters: readonly (readonly number[])[],
  w: number,
): Branch[] {
  const ring = around(w);
  const junctionOf = new Map(clusters.flatMap((pixels, k) => pixels.map((p) => [p, k] as const)));
  const seen = new Uint8Array(skeleton.length);
  const branches: Branch[] = [];
  for (const start of all) {
    if (seen[start] || junctionOf.has(start)) continue;
    const pixels = [start];
    const contacts: Contact[] = [];
    seen[start] = 1;
    for (let k = 0; k < pixels.length; k++) {
      const pixel = pixels[k];
      for (const d of ring) {
        const q = pixel + d;
        if (!skeleton[q]) continue;
        const junction = junctionOf.get(q);
        if (junction !== undefined) contacts.push({ pixel, junction });
        else if (!seen[q]) {
          seen[q] = 1;
          pixels.push(q);
        }
      }
    }
    branches.push({ pixels, junctions: endsAt(contacts, w) });
  }
  return branches;
}

interface Contact {
  readonly pixel: number;
  readonly junction: number;
}

/** One entry per arm: contacts of neighbouring pixels with one junction are one arm's. */
function endsAt(contacts: readonly Contact[], w: number): number[] {
  const arms: Contact[] = [];
  for (const c of contacts) {
    const known = arms.some(
      (a) =>
        a.junction === c.junction &&
        Math.abs((a.pixel % w) - (c.pixel % w)) <= 1 &&
        Math.abs(Math.floor(a.pixel / w) - Math.floor(c.pixel / w)) <= 1,
    );
    if (!known) arms.push(c);
  }
  return arms.map((a) => a.junction);
}
