/** A stroke mask's skeleton taken apart into branches and the junctions where they meet; spurs of rough edges pruned. */
import type { Mask } from '../raster/raster.ts';
import { NEW_ROOMS, type Rooms } from '../raster/rooms.ts';
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

/** @param depthPx Distance of every pixel of the mask to its edge, px */
export function skeletonGraph(mask: Mask, depthPx: Float32Array, rooms: Rooms = NEW_ROOMS): SkeletonGraph {
  const { widthPx: w } = mask;
  const { data: skeleton, pixels } = thin(mask, rooms);
  const clusters = junctionClusters(skeleton, pixels, w);
  const branches = traceBranches(skeleton, pixels, clusters, w, rooms);
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
  for (let from = 0; from < pixels.length; from += CHUNK) addKnots(skeleton, pixels, from, ring, near);
  const seen = new Set<number>();
  const clusters: number[][] = [];
  for (const start of near) if (!seen.has(start)) clusters.push(clusterFrom(start, near, ring, seen));
  return clusters;
}

// A few pixels or one branch at a time: what is called often is soon compiled.
const CHUNK = 256;

function addKnots(
  skeleton: Uint8Array,
  pixels: Int32Array,
  from: number,
  ring: readonly number[],
  near: Set<number>,
): void {
  for (let n = from, end = Math.min(pixels.length, from + CHUNK); n < end; n++) {
    const i = pixels[n];
    let arms = 0;
    let neighbours = 0;
    for (let k = 0; k < 8; k++) {
      if (skeleton[i + ring[k]] === 0) arms += skeleton[i + ring[(k + 1) & 7]];
      else neighbours++;
    }
    if (arms < 3 && !(arms === 2 && neighbours >= 4)) continue;
    near.add(i);
    // The arms' first pixels touch each other diagonally past the junction: taken into it, the arms come apart.
    for (let k = 0; k < 8; k++) if (skeleton[i + ring[k]] === 1) near.add(i + ring[k]);
  }
}

function clusterFrom(start: number, near: Set<number>, ring: readonly number[], seen: Set<number>): number[] {
  const pixels = [start];
  seen.add(start);
  for (let n = 0; n < pixels.length; n++) {
    for (let k = 0; k < 8; k++) {
      const q = pixels[n] + ring[k];
      if (!near.has(q) || seen.has(q)) continue;
      seen.add(q);
      pixels.push(q);
    }
  }
  return pixels;
}

function traceBranches(
  skeleton: Uint8Array,
  all: Int32Array,
  clusters: readonly (readonly number[])[],
  w: number,
  rooms: Rooms,
): Branch[] {
  const ring = around(w);
  const junctionOf = new Map(clusters.flatMap((pixels, k) => pixels.map((p) => [p, k] as const)));
  const seen = rooms.zeroBytes(skeleton.length);
  const branches: Branch[] = [];
  for (let from = 0; from < all.length; from = nextUnseen(all, from, seen, junctionOf)) {
    const start = all[from];
    if (seen[start] === 0 && !junctionOf.has(start)) {
      branches.push(branchFrom(start, skeleton, junctionOf, ring, seen, w));
    }
  }
  return branches;
}

/** The next pixel that may begin a branch. */
function nextUnseen(
  all: Int32Array,
  before: number,
  seen: Uint8Array,
  junctionOf: ReadonlyMap<number, number>,
): number {
  let k = before + 1;
  while (k < all.length && (seen[all[k]] === 1 || junctionOf.has(all[k]))) k++;
  return k;
}

function branchFrom(
  start: number,
  skeleton: Uint8Array,
  junctionOf: ReadonlyMap<number, number>,
  ring: readonly number[],
  seen: Uint8Array,
  w: number,
): Branch {
  const pixels = [start];
  const contacts: Contact[] = [];
  seen[start] = 1;
  for (let n = 0; n < pixels.length; n++) {
    const pixel = pixels[n];
    for (let k = 0; k < 8; k++) {
      const q = pixel + ring[k];
      if (skeleton[q] !== 1) continue;
      const junction = junctionOf.get(q);
      if (junction !== undefined) contacts.push({ pixel, junction });
      else if (seen[q] === 0) {
        seen[q] = 1;
        pixels.push(q);
      }
    }
  }
  return { pixels, junctions: endsAt(contacts, w) };
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
