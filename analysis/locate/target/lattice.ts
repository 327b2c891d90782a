/** Cells that stand in rows and columns: a lattice is grown from neighbour to neighbour, bending with the picture. */
import { homography, type Homography, mapPoint, type Point } from '../../raster/homography.ts';
import type { Cell } from './cells.ts';

export interface Lattice {
  /** Lattice steps → px. */
  readonly toPx: Homography;
  readonly members: readonly { readonly i: number; readonly j: number; readonly cell: Cell }[];
  /** First and last step, inclusive. */
  readonly box: readonly [i0: number, j0: number, i1: number, j1: number];
  /** Mean of the two steps, px. */
  readonly pitchPx: number;
}

/** Neighbours are sought within so many sides of a cell: gaps, and what the edge's blur took off the cell. */
const REACH_SIDES = 2.8;
/** Cells of one target are alike in area, but blur takes more off beside strong edges. */
const AREA_RATIO = 2.6;
/** A cell may lie so far from where its neighbours put it, as a share of the step. */
const OFF_PLACE = 0.2;
/** The two steps stand upright on each other within this cosine, and are as long as in the layout within this share. */
const UPRIGHT = 0.14;
const STEP_RATIO = 0.2;
const FEWEST = 6;
const TRIES_A_CELL = 6;

/** @param stepRatio longer over shorter step of the layout's grid. @returns largest first */
export function lattices(cells: readonly Cell[], stepRatio: number): Lattice[] {
  const near = neighbourhoods(cells);
  const taken = new Set<Cell>();
  const found: Lattice[] = [];
  for (const seed of cells) {
    if (taken.has(seed)) continue;
    let best: Grown | null = null;
    for (const basis of basesAt(seed, near, stepRatio).slice(0, TRIES_A_CELL)) {
      const grown = grow(seed, basis, near);
      if (best === null || grown.size > best.size) best = grown;
    }
    if (best === null || best.size < FEWEST) continue;
    const lattice = settled(best);
    if (lattice === null) continue;
    for (const { cell } of lattice.members) taken.add(cell);
    found.push(lattice);
  }
  return found.sort((a, b) => b.members.length - a.members.length);
}

type Near = (x: number, y: number, within: number) => readonly Cell[];

/** Buckets of two sizes of cell would be quicker still; one of 16 px serves pages and small targets alike. */
function neighbourhoods(cells: readonly Cell[]): Near {
  const side = 16;
  const buckets = new Map<number, Cell[]>();
  for (const cell of cells) {
    const key = Math.floor(cell.y / side) * 65536 + Math.floor(cell.x / side);
    const bucket = buckets.get(key);
    if (bucket === undefined) buckets.set(key, [cell]);
    else bucket.push(cell);
  }
  return (x, y, within) => {
    const out: Cell[] = [];
    for (let row = Math.floor((y - within) / side); row <= Math.floor((y + within) / side); row++) {
      for (let column = Math.floor((x - within) / side); column <= Math.floor((x + within) / side); column++) {
        for (const cell of buckets.get(row * 65536 + column) ?? []) {
          if (Math.hypot(cell.x - x, cell.y - y) <= within) out.push(cell);
        }
      }
    }
    return out;
  };
}

type Basis = readonly [along: Point, down: Point];

/** Pairs of neighbours at right angles, nearest first; `down` lies a quarter turn clockwise of `along`. */
function basesAt(seed: Cell, near: Near, stepRatio: number): Basis[] {
  const around = near(seed.x, seed.y, REACH_SIDES * seed.sidePx)
    .filter((cell) => cell !== seed && alike(cell, seed) && away(cell, seed) > 0.9 * seed.sidePx)
    .sort((a, b) => away(a, seed) - away(b, seed))
    .slice(0, 8);
  const bases: Basis[] = [];
  for (const a of around) {
    for (const b of around) {
      const along: Point = [a.x - seed.x, a.y - seed.y];
      const down: Point = [b.x - seed.x, b.y - seed.y];
      const [m, n] = [Math.hypot(...along), Math.hypot(...down)];
      if (along[0] * down[1] - along[1] * down[0] < 0.9 * m * n) continue;
      if (Math.abs(along[0] * down[0] + along[1] * down[1]) > UPRIGHT * m * n) continue;
      const ratio = Math.max(m, n) / Math.min(m, n);
      if (Math.abs(ratio / stepRatio - 1) > STEP_RATIO) continue;
      bases.push([along, down]);
    }
  }
  return bases;
}

type Grown = Map<string, { readonly i: number; readonly j: number; readonly cell: Cell; readonly basis: Basis }>;

/** From cell to cell; each hands on its own steps, so that a lattice may bend and widen. A hole of one is stepped over. */
function grow(seed: Cell, basis: Basis, near: Near): Grown {
  const grown: Grown = new Map([['0 0', { i: 0, j: 0, cell: seed, basis }]]);
  const used = new Set<Cell>([seed]);
  const queue = [...grown.values()];
  for (let head = 0; head < queue.length; head++) {
    const { i, j, cell, basis: own } = queue[head];
    for (const [di, dj] of STEPS_ROUND) {
      for (const times of [1, 2]) {
        const key = `${i + times * di} ${j + times * dj}`;
        if (grown.has(key)) break;
        const step: Point = [di * own[0][0] + dj * own[1][0], di * own[0][1] + dj * own[1][1]];
        const place: Point = [cell.x + times * step[0], cell.y + times * step[1]];
        const tolerance = OFF_PLACE * Math.hypot(...step);
        const next = closest(near(place[0], place[1], tolerance), place, cell, used);
        if (next === null) continue;
        const seen: Point = [(next.x - cell.x) / times, (next.y - cell.y) / times];
        const member = { i: i + times * di, j: j + times * dj, cell: next, basis: nudged(own, di, dj, step, seen) };
        grown.set(key, member);
        used.add(next);
        queue.push(member);
        break;
      }
    }
  }
  return grown;
}

const STEPS_ROUND = [
  [1, 0],
  [0, 1],
  [-1, 0],
  [0, -1],
] as const;

/** A step that was seen pulls its own direction by a third, and turns and widens the other with it by half of that. */
function nudged(own: Basis, di: number, dj: number, step: Point, seen: Point): Basis {
  const sign = di + dj;
  const miss: Point = [(sign * (seen[0] - step[0])) / 3, (sign * (seen[1] - step[1])) / 3];
  const moved = (v: Point, by: Point): Point => [v[0] + by[0], v[1] + by[1]];
  const quarter: Point = di !== 0 ? [-miss[1] / 2, miss[0] / 2] : [miss[1] / 2, -miss[0] / 2];
  return di !== 0 ? [moved(own[0], miss), moved(own[1], quarter)] : [moved(own[0], quarter), moved(own[1], miss)];
}

function closest(cells: readonly Cell[], place: Point, like: Cell, used: ReadonlySet<Cell>): Cell | null {
  let best: Cell | null = null;
  let least = Infinity;
  for (const cell of cells) {
    const distance = Math.hypot(cell.x - place[0], cell.y - place[1]);
    if (distance < least && !used.has(cell) && alike(cell, like)) {
      least = distance;
      best = cell;
    }
  }
  return best;
}

/** The map through the members, without those that lie off it. */
function settled(grown: Grown): Lattice | null {
  let members = [...grown.values()];
  let toPx: Homography | null = null;
  for (let round = 0; round < 3; round++) {
    toPx = mapOf(members);
    if (toPx === null) return null;
    const map = toPx;
    const pitch = pitchOf(map, members);
    const kept = members.filter(({ i, j, cell }) => {
      const [x, y] = mapPoint(map, [i, j]);
      return Math.hypot(x - cell.x, y - cell.y) < 0.18 * pitch;
    });
    if (kept.length === members.length) break;
    members = kept;
    if (members.length < FEWEST) return null;
  }
  if (toPx === null) return null;
  const box = [
    Math.min(...members.map((m) => m.i)),
    Math.min(...members.map((m) => m.j)),
    Math.max(...members.map((m) => m.i)),
    Math.max(...members.map((m) => m.j)),
  ] as const;
  if (box[2] === box[0] || box[3] === box[1]) return null;
  return { toPx, members, box, pitchPx: pitchOf(toPx, members) };
}

/** Few cells fix no perspective: an affine map through them reaches further. */
function mapOf(members: readonly { readonly i: number; readonly j: number; readonly cell: Cell }[]): Homography | null {
  const from = members.map(({ i, j }): Point => [i, j]);
  const to = members.map(({ cell }): Point => [cell.x, cell.y]);
  const spanI = Math.max(...from.map((p) => p[0])) - Math.min(...from.map((p) => p[0]));
  const spanJ = Math.max(...from.map((p) => p[1])) - Math.min(...from.map((p) => p[1]));
  try {
    if (members.length >= 24 && spanI >= 4 && spanJ >= 4) return homography(from, to);
    return affineThrough(from, to);
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** Least squares, about the means. Throws a RangeError when the points lie on a line. */
export function affineThrough(from: readonly Point[], to: readonly Point[]): Homography {
  const n = from.length;
  const mean = (points: readonly Point[], k: 0 | 1): number => points.reduce((sum, p) => sum + p[k], 0) / n;
  const [fx, fy, tx, ty] = [mean(from, 0), mean(from, 1), mean(to, 0), mean(to, 1)];
  let [xx, xy, yy, xu, yu, xv, yv] = [0, 0, 0, 0, 0, 0, 0];
  for (let k = 0; k < n; k++) {
    const [x, y, u, v] = [from[k][0] - fx, from[k][1] - fy, to[k][0] - tx, to[k][1] - ty];
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xu += x * u;
    yu += y * u;
    xv += x * v;
    yv += y * v;
  }
  const determinant = xx * yy - xy * xy;
  if (Math.abs(determinant) < 1e-9 * (xx + yy) ** 2 || n < 3) {
    throw new RangeError('An affine map needs three or more points that lie on no line.');
  }
  const a = (xu * yy - yu * xy) / determinant;
  const b = (yu * xx - xu * xy) / determinant;
  const c = (xv * yy - yv * xy) / determinant;
  const d = (yv * xx - xv * xy) / determinant;
  return [a, b, tx - a * fx - b * fy, c, d, ty - c * fx - d * fy, 0, 0, 1];
}

function pitchOf(toPx: Homography, members: readonly { readonly i: number; readonly j: number }[]): number {
  const { i, j } = members[members.length >> 1];
  const [x, y] = mapPoint(toPx, [i, j]);
  const [ax, ay] = mapPoint(toPx, [i + 1, j]);
  const [bx, by] = mapPoint(toPx, [i, j + 1]);
  return (Math.hypot(ax - x, ay - y) + Math.hypot(bx - x, by - y)) / 2;
}

function alike(a: Cell, b: Cell): boolean {
  return a.areaPx < AREA_RATIO * b.areaPx && b.areaPx < AREA_RATIO * a.areaPx;
}

function away(a: Cell, b: Cell): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}
