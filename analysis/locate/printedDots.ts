/** A printed dot grid: small round spots of one size on a lattice that reaches over the whole region. */
import { components } from '../raster/components.ts';
import type { DarknessMap } from './darknessMap.ts';

export interface DotGrid {
  /** Place of node (i, j), px of the region: Σ of 1, i, j, i², ij, j² times these. */
  readonly x: readonly number[];
  readonly y: readonly number[];
  /** Nodes whose dot was seen lying bare. */
  readonly seen: number;
  readonly pitchPx: number;
}

type Point = readonly [x: number, y: number];
interface Node {
  readonly i: number;
  readonly j: number;
  readonly at: Point;
}

/** A spot's area, mm²: blur makes the smallest printed dots no smaller. */
const AREA_MM2 = [0.03, 0.9] as const;
const PITCH_MM = [2, 12] as const;
const LEAST_DEPTH = 0.015;
const LEAST_NODES = 6;
/** Dots lie this near to their node, mm. */
const ASTRAY_MM = 0.25;

/** @param noise Standard deviation of the map on bare paper. @returns null where no lattice of one pitch reaches over the region */
export function printedDots(map: DarknessMap, noise: number): DotGrid | null {
  const spots = roundSpots(map, Math.max(LEAST_DEPTH, 5 * noise));
  if (spots.length < LEAST_NODES) return null;
  const across = commonStep(spots, map, 'x');
  const down = commonStep(spots, map, 'y');
  if (across === null || down === null) return null;
  const turn = Math.abs(across[0] * down[0] + across[1] * down[1]) / (Math.hypot(...across) * Math.hypot(...down));
  if (turn > 0.03) return null;
  const nodes = onLattice(spots, across, down, ASTRAY_MM * map.perMm);
  if (nodes.length < LEAST_NODES || nodes.length < 0.5 * spots.length) return null;
  if (new Set(nodes.map((n) => n.i)).size < 2 || new Set(nodes.map((n) => n.j)).size < 2) return null;
  if (bareNodesWithout(nodes, map, across, down) > nodes.length / 3) return null;
  const fit = (axis: 0 | 1) => latticeFit(nodes, axis).map((k) => k * map.step);
  return { x: fit(0), y: fit(1), seen: nodes.length, pitchPx: Math.hypot(...across) * map.step };
}

/** Middles of all nodes on the raster. */
export function dotCentres(grid: DotGrid, widthPx: number, heightPx: number): Point[] {
  const most = Math.ceil((2 * Math.hypot(widthPx, heightPx)) / grid.pitchPx);
  const centres: Point[] = [];
  for (let i = -most; i <= most; i++) {
    for (let j = -most; j <= most; j++) {
      const at: Point = [valueOf(grid.x, i, j), valueOf(grid.y, i, j)];
      if (
        at[0] > -grid.pitchPx &&
        at[1] > -grid.pitchPx &&
        at[0] < widthPx + grid.pitchPx &&
        at[1] < heightPx + grid.pitchPx
      ) {
        centres.push(at);
      }
    }
  }
  return centres;
}

/** Middles of compact spots of the most usual size, squares of the map (a square's middle at whole + 0.5). */
function roundSpots(map: DarknessMap, least: number): Point[] {
  const { data, width, height, perMm } = map;
  const inside = new Uint8Array(data.length);
  for (let start = 0; start < data.length; start += width) markDarker(data, least, start, start + width, inside);
  const square = perMm * perMm;
  const spots = components({ data: inside, widthPx: width, heightPx: height }).filter(({ area, x0, x1, y0, y1 }) => {
    const [w, h] = [x1 - x0 + 1, y1 - y0 + 1];
    return (
      area >= AREA_MM2[0] * square &&
      area <= AREA_MM2[1] * square &&
      Math.max(w, h) <= 1.6 * Math.min(w, h) + 1 &&
      area >= 0.5 * w * h &&
      x0 > 0 &&
      y0 > 0 &&
      x1 < width - 1 &&
      y1 < height - 1
    );
  });
  const areas = spots.map((s) => s.area).toSorted((a, b) => a - b);
  const usual = areas[areas.length >> 1] ?? 0;
  return spots
    .filter((s) => s.area > 0.4 * usual && s.area < 2.2 * usual)
    .map(({ x0, x1, y0, y1 }) => weightedMiddle(map, x0 - 1, y0 - 1, x1 + 1, y1 + 1));
}

function markDarker(data: Float32Array, least: number, from: number, to: number, out: Uint8Array): void {
  for (let i = from; i < to; i++) if (data[i] > least) out[i] = 1;
}

function weightedMiddle({ data, width }: DarknessMap, x0: number, y0: number, x1: number, y1: number): Point {
  let [sum, sx, sy] = [0, 0, 0];
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const d = Math.max(0, data[y * width + x]);
      sum += d;
      sx += d * (x + 0.5);
      sy += d * (y + 0.5);
    }
  }
  return [sx / sum, sy / sum];
}

/** The shortest step along an axis that a good part of the spots share; null when none stands out. */
function commonStep(spots: readonly Point[], map: DarknessMap, axis: 'x' | 'y'): Point | null {
  const bin = 0.15 * map.perMm;
  const votes = new Map<string, Point[]>();
  for (const p of spots) {
    for (const q of spots) {
      const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
      const [along, aside] = axis === 'x' ? [dx, dy] : [dy, dx];
      if (along < PITCH_MM[0] * map.perMm || along > PITCH_MM[1] * map.perMm || Math.abs(aside) > 0.08 * along)
        continue;
      // Into the bin and its neighbours, so that no border parts a heap.
      for (let u = -1; u <= 1; u++) {
        for (let v = -1; v <= 1; v++) {
          const key = `${Math.round(along / bin) + u},${Math.round(aside / bin) + v}`;
          const heap = votes.get(key);
          if (heap) heap.push([dx, dy]);
          else votes.set(key, [[dx, dy]]);
        }
      }
    }
  }
  const heaps = [...votes.values()];
  const largest = Math.max(0, ...heaps.map((h) => h.length));
  if (largest < Math.max(3, 0.25 * spots.length)) return null;
  const means = heaps
    .filter((h) => h.length > 0.6 * largest)
    .map((h): Point => [h.reduce((s, d) => s + d[0], 0) / h.length, h.reduce((s, d) => s + d[1], 0) / h.length]);
  return means.reduce((best, m) => (Math.hypot(...m) < Math.hypot(...best) - bin ? m : best));
}

/** Spots reached from one another by steps of the lattice, from the spot that gathers the most. */
function onLattice(spots: readonly Point[], across: Point, down: Point, astray: number): Node[] {
  let best: Node[] = [];
  const taken = new Set<Point>();
  for (const seed of spots) {
    if (taken.has(seed)) continue;
    const nodes: Node[] = [{ i: 0, j: 0, at: seed }];
    const seen = new Set<Point>([seed]);
    for (let k = 0; k < nodes.length; k++) {
      const from = nodes[k];
      for (const [di, dj] of STEPS) {
        const x = from.at[0] + di * across[0] + dj * down[0];
        const y = from.at[1] + di * across[1] + dj * down[1];
        const near = spots.find((p) => !seen.has(p) && Math.hypot(p[0] - x, p[1] - y) < astray);
        if (!near) continue;
        seen.add(near);
        nodes.push({ i: from.i + di, j: from.j + dj, at: near });
      }
    }
    for (const p of seen) taken.add(p);
    if (nodes.length > best.length) best = nodes;
  }
  return best;
}

/** To the neighbours, and past one that a letter covers. */
const STEPS = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
  [1, 1],
  [-1, -1],
  [1, -1],
  [-1, 1],
  [2, 0],
  [-2, 0],
  [0, 2],
  [0, -2],
] as const;

/** Nodes about whose place the paper is bare and shows no dot: a lattice of chance has many. */
function bareNodesWithout(nodes: readonly Node[], map: DarknessMap, across: Point, down: Point): number {
  const known = new Set(nodes.map((n) => `${n.i},${n.j}`));
  const [fx, fy] = [latticeFit(nodes, 0), latticeFit(nodes, 1)];
  const reach = 0.1 * Math.min(Math.hypot(...across), Math.hypot(...down));
  const [lowI, highI] = rangeOf(nodes.map((n) => n.i));
  const [lowJ, highJ] = rangeOf(nodes.map((n) => n.j));
  let without = 0;
  for (let i = lowI; i <= highI; i++) {
    for (let j = lowJ; j <= highJ; j++) {
      if (known.has(`${i},${j}`)) continue;
      const [x, y] = [valueOf(fx, i, j), valueOf(fy, i, j)];
      if (x < reach || y < reach || x > map.width - reach - 1 || y > map.height - reach - 1) continue;
      let darkest = 0;
      for (let v = Math.floor(y - reach); v <= y + reach; v++) {
        for (let u = Math.floor(x - reach); u <= x + reach; u++)
          darkest = Math.max(darkest, map.data[v * map.width + u]);
      }
      if (darkest < LEAST_DEPTH) without++;
    }
  }
  return without;
}

function rangeOf(values: readonly number[]): readonly [number, number] {
  return [Math.min(...values), Math.max(...values)];
}

/** Coefficients of 1, i, j (and i², ij, j² where there are nodes enough), by normal equations. */
function latticeFit(nodes: readonly Node[], axis: 0 | 1): number[] {
  const terms = nodes.length >= 20 ? 6 : 3;
  const a = Array.from({ length: terms }, (_, r) => Array.from({ length: terms + 1 }, (__, c) => (r === c ? 1e-9 : 0)));
  for (const { i, j, at } of nodes) {
    const basis = basisOf(i, j);
    for (let r = 0; r < terms; r++) {
      for (let c = 0; c < terms; c++) a[r][c] += basis[r] * basis[c];
      a[r][terms] += basis[r] * at[axis];
    }
  }
  for (let r = 0; r < terms; r++) {
    for (let k = r + 1; k < terms; k++) {
      const factor = a[k][r] / a[r][r];
      for (let c = r; c <= terms; c++) a[k][c] -= factor * a[r][c];
    }
  }
  const out = Array.from({ length: terms }, () => 0);
  for (let r = terms - 1; r >= 0; r--) {
    let sum = a[r][terms];
    for (let c = r + 1; c < terms; c++) sum -= a[r][c] * out[c];
    out[r] = sum / a[r][r];
  }
  return out;
}

function basisOf(i: number, j: number): readonly number[] {
  return [1, i, j, i * i, i * j, j * j];
}

function valueOf(coefficients: readonly number[], i: number, j: number): number {
  const basis = basisOf(i, j);
  return coefficients.reduce((sum, k, n) => sum + k * basis[n], 0);
}
