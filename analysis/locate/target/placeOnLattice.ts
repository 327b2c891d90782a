/** Where on a lattice of cells a layout lies: all shifts, quarter turns and mirrorings, by the colours under it. */
import { type Homography, mapPoint, type Point } from '../../raster/homography.ts';
import type { ColourRaster } from './colourRaster.ts';
import type { Lattice } from './lattice.ts';
import type { ExpectedPatch } from './targetLayout.ts';

export interface LayoutGrid {
  /** Middle of one patch, and the steps from it, mm. */
  readonly originMm: Point;
  readonly stepMm: Point;
  /** Patches that stand on the grid: index in the layout, and steps. */
  readonly nodes: readonly { readonly patch: number; readonly i: number; readonly j: number }[];
}

export interface Placement {
  /** Layout mm → px. */
  readonly toPx: Homography;
  readonly mirrored: boolean;
  /** How the colours agree, −1..1: quick, for sorting. */
  readonly agreement: number;
  readonly scale: number;
}

/** Looked at more closely, of each handedness. */
const KEPT = 6;
/** So much of the layout's grid must lie on the lattice that was seen, in each direction. */
const LEAST_OVERLAP = 0.5;

/** The rows and columns that most patches stand in; null when they stand in none. */
export function gridOfLayout(patches: readonly ExpectedPatch[]): LayoutGrid | null {
  const step = [0, 1].map((axis) => stepAlong(patches, axis === 0 ? 0 : 1));
  const [stepX, stepY] = step;
  if (stepX === null || stepY === null) return null;
  let best: LayoutGrid | null = null;
  // A patch of the largest block of rows and columns; others (a row of greys apart) may stand off the grid.
  for (let k = 0; k < patches.length; k += Math.max(1, Math.floor(patches.length / 12))) {
    const [ox, oy] = patches[k].centreMm;
    const nodes = patches.flatMap(({ centreMm: [x, y] }, patch) => {
      const i = Math.round((x - ox) / stepX);
      const j = Math.round((y - oy) / stepY);
      const off = Math.max(Math.abs((x - ox) / stepX - i), Math.abs((y - oy) / stepY - j));
      return off < 0.06 ? [{ patch, i, j }] : [];
    });
    if (best === null || nodes.length > best.nodes.length) {
      best = { originMm: [ox, oy], stepMm: [stepX, stepY], nodes };
    }
  }
  return best !== null && best.nodes.length >= 6 ? best : null;
}

/** Median distance to the next patch in the same row (or column). */
function stepAlong(patches: readonly ExpectedPatch[], axis: 0 | 1): number | null {
  const other = axis === 0 ? 1 : 0;
  const steps = patches.flatMap((patch) => {
    let least = Infinity;
    for (const next of patches) {
      const along = next.centreMm[axis] - patch.centreMm[axis];
      const beside = Math.abs(next.centreMm[other] - patch.centreMm[other]);
      if (along > 0.5 * patch.boxMm[2 + axis] && beside < 0.1 * patch.boxMm[2 + other]) least = Math.min(least, along);
    }
    return least < Infinity ? [least] : [];
  });
  if (steps.length === 0) return null;
  return steps.sort((a, b) => a - b)[steps.length >> 1];
}

/** @returns the most likely ones of either handedness, best first */
export function placements(
  raster: ColourRaster,
  lattice: Lattice,
  grid: LayoutGrid,
  patches: readonly ExpectedPatch[],
  scaleLimits: readonly [least: number, most: number],
): Placement[] {
  const pxPerMm = raster.dpi / 25.4;
  const nodes = grid.nodes.filter(({ patch }) => patches[patch].rgb !== null);
  if (nodes.length < 6) return [];
  const expected = nodes.map(({ patch }) => opponent(patches[patch].rgb!));
  const look = lookUp(raster, lattice);
  const found: Placement[] = [];
  for (const mirrored of [false, true]) {
    const kept: Placement[] = [];
    for (let turn = 0; turn < 4; turn++) {
      // Steps of the layout → steps of the lattice.
      const [a, b, c, d] = QUARTERS[turn].map((v, k) => (mirrored && k % 2 === 0 ? -v : v));
      const scale = scaleOf(lattice, grid, [a, b, c, d]) / pxPerMm;
      if (scale < scaleLimits[0] || scale > scaleLimits[1]) continue;
      const turned = nodes.map(({ i, j }) => [a * i + b * j, c * i + d * j] as const);
      const i0 = Math.min(...turned.map((n) => n[0]));
      const i1 = Math.max(...turned.map((n) => n[0]));
      const j0 = Math.min(...turned.map((n) => n[1]));
      const j1 = Math.max(...turned.map((n) => n[1]));
      for (const si of shifts(i0, i1, lattice.box[0], lattice.box[2])) {
        for (const sj of shifts(j0, j1, lattice.box[1], lattice.box[3])) {
          const agreement = agreementAt(turned, si, sj, expected, look);
          if (agreement === null) continue;
          if (kept.length === KEPT && agreement <= kept[KEPT - 1].agreement) continue;
          kept.push({ toPx: placed(lattice, grid, [a, b, c, d], si, sj), mirrored, agreement, scale });
          kept.sort((p, q) => q.agreement - p.agreement);
          if (kept.length > KEPT) kept.pop();
        }
      }
    }
    found.push(...kept);
  }
  return found.sort((p, q) => q.agreement - p.agreement);
}

const QUARTERS = [
  [1, 0, 0, 1],
  [0, -1, 1, 0],
  [-1, 0, 0, -1],
  [0, 1, -1, 0],
] as const;

/** Shifts that lay at least half of the shorter of the two on the other. */
function shifts(from: number, to: number, least: number, most: number): number[] {
  const overlap = Math.max(1, Math.ceil(LEAST_OVERLAP * Math.min(to - from + 1, most - least + 1)));
  const out: number[] = [];
  for (let shift = least - to + overlap - 1; shift <= most - from - overlap + 1; shift++) out.push(shift);
  return out;
}

function scaleOf(lattice: Lattice, { stepMm }: LayoutGrid, [a, b, c, d]: readonly number[]): number {
  const middle: Point = [(lattice.box[0] + lattice.box[2]) / 2, (lattice.box[1] + lattice.box[3]) / 2];
  const [x, y] = mapPoint(lattice.toPx, middle);
  const [ux, uy] = mapPoint(lattice.toPx, [middle[0] + a, middle[1] + c]);
  const [vx, vy] = mapPoint(lattice.toPx, [middle[0] + b, middle[1] + d]);
  return Math.sqrt((Math.hypot(ux - x, uy - y) / stepMm[0]) * (Math.hypot(vx - x, vy - y) / stepMm[1]));
}

/** lattice.toPx · [quarter | shift] · [mm → steps] */
function placed(
  lattice: Lattice,
  { originMm, stepMm }: LayoutGrid,
  [a, b, c, d]: readonly number[],
  si: number,
  sj: number,
): Homography {
  const m = [
    [a / stepMm[0], b / stepMm[1], si - (a * originMm[0]) / stepMm[0] - (b * originMm[1]) / stepMm[1]],
    [c / stepMm[0], d / stepMm[1], sj - (c * originMm[0]) / stepMm[0] - (d * originMm[1]) / stepMm[1]],
    [0, 0, 1],
  ];
  const h = lattice.toPx;
  const out: number[] = [];
  for (let row = 0; row < 3; row++) {
    for (let column = 0; column < 3; column++) {
      out.push(h[3 * row] * m[0][column] + h[3 * row + 1] * m[1][column] + h[3 * row + 2] * m[2][column]);
    }
  }
  return out.map((v) => v / out[8]);
}

type Opponent = readonly [number, number, number];
type Look = (i: number, j: number) => Opponent | null;

/** Colours at the lattice's nodes, each read once: mean of five spots. */
function lookUp({ rgb, widthPx, heightPx }: ColourRaster, lattice: Lattice): Look {
  const known = new Map<number, Opponent | null>();
  const read = (i: number, j: number): Opponent | null => {
    const sum = [0, 0, 0];
    for (const [di, dj] of SPOTS) {
      const [px, py] = mapPoint(lattice.toPx, [i + di, j + dj]);
      const x = Math.floor(px);
      const y = Math.floor(py);
      if (x < 0 || y < 0 || x >= widthPx || y >= heightPx) return null;
      for (let c = 0; c < 3; c++) sum[c] += rgb[3 * (y * widthPx + x) + c] / SPOTS.length;
    }
    return opponent([sum[0], sum[1], sum[2]]);
  };
  return (i, j) => {
    const key = i * 65536 + j;
    let value = known.get(key);
    if (value === undefined) known.set(key, (value = read(i, j)));
    return value;
  };
}

const SPOTS = [
  [0, 0],
  [0.14, 0.06],
  [-0.06, 0.14],
  [-0.14, -0.06],
  [0.06, -0.14],
] as const;

/** Mean correlation of lightness, red–green and blue–yellow, as far as the known colours differ in them; null: off the picture. */
function agreementAt(
  turned: readonly (readonly [number, number])[],
  si: number,
  sj: number,
  expected: readonly Opponent[],
  look: Look,
): number | null {
  const seen: Opponent[] = [];
  for (const [i, j] of turned) {
    const colour = look(i + si, j + sj);
    if (colour === null) return null;
    seen.push(colour);
  }
  let sum = 0;
  let weights = 0;
  for (let c = 0; c < 3; c++) {
    const { r, due } = correlation(expected, seen, c);
    const weight = Math.min(1, due / 0.003) * (c === 0 ? 2 : 1);
    sum += weight * r;
    weights += weight;
  }
  return weights > 0 ? sum / weights : null;
}

function correlation(
  a: readonly Opponent[],
  b: readonly Opponent[],
  c: number,
): { readonly r: number; readonly due: number } {
  const n = a.length;
  let [x, y, xx, yy, xy] = [0, 0, 0, 0, 0];
  for (let k = 0; k < n; k++) {
    const p = a[k][c];
    const q = b[k][c];
    x += p;
    y += q;
    xx += p * p;
    yy += q * q;
    xy += p * q;
  }
  const [vx, vy] = [xx / n - (x / n) ** 2, yy / n - (y / n) ** 2];
  // Calmer than this is paper.
  return { r: vx > 1e-6 && vy > 2e-4 ? (xy / n - (x / n) * (y / n)) / Math.sqrt(vx * vy) : 0, due: vx };
}

function opponent([r, g, b]: readonly [number, number, number]): Opponent {
  return [(r + g + b) / 3, r - g, b - (r + g) / 2];
}
