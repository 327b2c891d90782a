/**
 * One side of a sheet laid over the other: which point of the reverse lies behind which point of the front. Found from what shows through,
 * by normalised correlation over turns and shifts on a coarse grid, then by least squares on finer ones (Lucas & Kanade 1981).
 */
import { Matrix, solve } from 'ml-matrix';
import { type GridMap, coarserMap } from '../raster/gridMap.ts';
import { gaussianSmooth } from '../raster/gaussian.ts';
import { type Affine, affineOf, type Similarity, type Turned } from '../raster/similarity.ts';

export interface Registration {
  readonly place: Similarity;
  /** Correlation of the two where they overlap, −1 … 1. */
  readonly correlation: number;
  /** The correlation over that of the best other place; about 1 where nothing tells one from another. */
  readonly score: number;
}

export interface RegisterOptions {
  /** How far a sheet may be shifted against the middle of the box, beyond what the boxes differ by, mm. @default 8 */
  readonly reachMm?: number;
  /** Largest turn, degrees. @default 4 */
  readonly turnDeg?: number;
}
export const REGISTER_DEFAULTS = { reachMm: 8, turnDeg: 4 } satisfies Required<RegisterOptions>;

/** Cells of the coarse grid at most: the search tries some ten thousand places. */
const COARSE_CELLS = 6000;
/** Places of the coarse grid that are followed to finer ones. */
const FOLLOWED = 8;
/** Of which so many may be the same one at another angle. */
const ALIKE = 2;
const TURNS: readonly Turned[] = ['about-vertical', 'about-horizontal', 'not'];
/** Structures wider than this many cells are light, paper, or that there are lines of writing at all. */
const WIDE_CELLS = 5;
/** Places farther from each other than this are not the same one found twice, mm. */
const APART_MM = 0.8;
/** Noise alone correlates so much at one place or another. */
const LEAST_RIVAL = 0.02;
/** The finest cells that the place is judged on, mm. */
const JUDGED_MM = 0.2;

/**
 * @param front How much ink lies on the front (0 bare). @param back How dark the reverse is against its own paper, on cells of the same size.
 * @returns the best place whatever it is worth; `score` says what. Null: one of the two is empty.
 */
export function registerSheets(front: GridMap, back: GridMap, options: RegisterOptions = {}): Registration | null {
  const used = { ...REGISTER_DEFAULTS, ...options };
  const cells = Math.max(front.data.length, back.data.length);
  const factor = Math.max(2, Math.ceil(Math.sqrt(cells / COARSE_CELLS)));
  const [coarseFront, coarseBack] = [flattened(coarserMap(front, factor)), flattened(coarserMap(back, factor))];
  if (isEmpty(coarseFront) || isEmpty(coarseBack)) return null;
  const others: Similarity[] = [];
  let places = rivals(
    TURNS.flatMap((turned) => coarsePlaces(coarseFront, coarseBack, turned, used))
      .sort((a, b) => b.correlation - a.correlation)
      .map(({ place }) => place),
  );
  for (let finer = Math.ceil(factor / 2); finer >= 1; finer = finer > 3 ? Math.ceil(finer / 2) : finer - 1) {
    const [f, b] = [flattened(coarserMap(front, finer)), flattened(coarserMap(back, finer))];
    const followed = places.map((place) => refined(f, b, place)).sort((x, y) => y.correlation - x.correlation);
    // The finest grids cost most, and the best place is known by then.
    places = followed.slice(0, finer > 2 ? 4 : 1).map(({ place }) => place);
    others.push(...followed.map(({ place }) => place).filter((place) => areApart(place, places[0])));
  }
  const [place] = places;
  const fine = Math.max(1, Math.round(JUDGED_MM / front.stepMm));
  const [f, b] = [flattened(coarserMap(front, fine)), flattened(coarserMap(back, fine))];
  const apart = others.filter((other) => areApart(other, place));
  return { place, ...standing(f, b, place, apart) };
}

/** The first of them, few of which are the same place at a turn more or less: else nothing would be left to hold it against. */
function rivals(places: readonly Similarity[]): Similarity[] {
  const taken: Similarity[] = [];
  for (const place of places) {
    if (taken.length === FOLLOWED) break;
    if (taken.filter((one) => !areApart(one, place)).length < ALIKE) taken.push(place);
  }
  return taken;
}

/** The correlation at a place over the best one elsewhere: beside it, where the same lines of writing lie but not the same letters, or turned otherwise. */
function standing(
  front: GridMap,
  back: GridMap,
  place: Similarity,
  others: readonly Similarity[],
): { correlation: number; score: number } {
  const at = (dx: number, dy: number): number =>
    correlationAt(front, back, affineOf({ ...place, shiftMm: [place.shiftMm[0] + dx, place.shiftMm[1] + dy] }));
  let rival = LEAST_RIVAL;
  for (let ring = 1; ring <= 3; ring++) {
    for (let k = 0; k < 12; k++) {
      const angle = ((k + ring / 3) * Math.PI) / 6;
      rival = Math.max(rival, at(ring * Math.cos(angle), ring * Math.sin(angle)));
    }
  }
  for (const other of others) rival = Math.max(rival, correlationAt(front, back, affineOf(other)));
  const correlation = at(0, 0);
  return { correlation, score: correlation / rival };
}

function areApart(a: Similarity, b: Similarity): boolean {
  return a.turned !== b.turned || Math.hypot(a.shiftMm[0] - b.shiftMm[0], a.shiftMm[1] - b.shiftMm[1]) > APART_MM;
}

/** Slow changes taken away, and smoothed by a cell so that neighbouring places are alike. */
function flattened(map: GridMap): GridMap {
  const { columns, rows } = map;
  const smooth = gaussianSmooth(map.data, columns, rows, 0.8);
  const slow = gaussianSmooth(map.data, columns, rows, WIDE_CELLS);
  return { ...map, data: smooth.map((v, i) => v - slow[i]) };
}

function isEmpty({ data }: GridMap): boolean {
  return !data.some((v) => Math.abs(v) > 1e-7);
}

interface Placed {
  readonly place: Similarity;
  readonly correlation: number;
}

/** The best place of each turn. */
function coarsePlaces(
  front: GridMap,
  back: GridMap,
  turned: Turned,
  { reachMm, turnDeg }: Required<RegisterOptions>,
): Placed[] {
  const { stepMm } = front;
  const reach = (a: number, b: number): number => Math.ceil(Math.abs(a - b) / 2 + reachMm / stepMm);
  const reachX = reach(front.columns, back.columns);
  const reachY = reach(front.rows, back.rows);
  // A turn by which the far ends of the box move by a cell.
  const stepRad = (2 * stepMm) / Math.hypot(front.columns * stepMm, front.rows * stepMm);
  const steps = Math.ceil((turnDeg * Math.PI) / 180 / stepRad);
  return Array.from({ length: 2 * steps + 1 }, (_, s): Placed => {
    const angleRad = (s - steps) * stepRad;
    const laid = laidOver(front, back, affineOf({ turned, angleRad, scale: 1, shiftMm: [0, 0] }));
    let best = -1;
    let shiftMm: readonly [number, number] = [0, 0];
    for (let dy = -reachY; dy <= reachY; dy++) {
      for (let dx = -reachX; dx <= reachX; dx++) {
        const correlation = shifted(laid, back, dx, dy);
        if (correlation === null || correlation <= best) continue;
        best = correlation;
        shiftMm = [dx * stepMm, dy * stepMm];
      }
    }
    return { correlation: best, place: { turned, angleRad, scale: 1, shiftMm } };
  });
}

/** The front on the back's cells, with how much of it is there. */
interface Laid {
  readonly data: Float32Array;
  readonly columns: number;
  readonly rows: number;
  /** Where its first cell lies in the back's, cells. */
  readonly left: number;
  readonly top: number;
}

/** Turned over and by an angle about the middle, on a canvas that holds all of it. */
function laidOver(front: GridMap, back: GridMap, there: Affine): Laid {
  const half = Math.ceil(Math.hypot(front.columns, front.rows) / 2);
  const halfX = Math.min(half, Math.ceil(front.columns / 2 + 0.1 * front.rows));
  const halfY = Math.min(half, Math.ceil(front.rows / 2 + 0.1 * front.columns));
  const columns = 2 * halfX;
  const rows = 2 * halfY;
  const data = new Float32Array(columns * rows);
  // The canvas's middle is the front's; a turn's inverse is its transpose.
  const { a, b, d, e } = there;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const x = column + 0.5 - halfX;
      const y = row + 0.5 - halfY;
      data[row * columns + column] = readAt(front, a * x + d * y + front.columns / 2, b * x + e * y + front.rows / 2);
    }
  }
  return {
    data,
    columns,
    rows,
    left: Math.round(back.columns / 2) - halfX,
    top: Math.round(back.rows / 2) - halfY,
  };
}

/** Bilinear at a place in cells; 0 outside, which is the mean of a flattened map. */
function readAt({ data, columns, rows }: GridMap, x: number, y: number): number {
  const fx = x - 0.5;
  const fy = y - 0.5;
  const x0 = Math.floor(fx);
  const y0 = Math.floor(fy);
  if (x0 < 0 || y0 < 0 || x0 + 1 >= columns || y0 + 1 >= rows) return 0;
  const [u, v] = [fx - x0, fy - y0];
  const i = y0 * columns + x0;
  return (
    (1 - v) * ((1 - u) * data[i] + u * data[i + 1]) + v * ((1 - u) * data[i + columns] + u * data[i + columns + 1])
  );
}

/** Correlation where the two overlap; null when less than a third of the front's relief does. */
function shifted(laid: Laid, back: GridMap, dx: number, dy: number): number | null {
  const left = laid.left + dx;
  const top = laid.top + dy;
  const fromX = Math.max(0, -left);
  const toX = Math.min(laid.columns, back.columns - left);
  const fromY = Math.max(0, -top);
  const toY = Math.min(laid.rows, back.rows - top);
  if (toX <= fromX || toY <= fromY || (toX - fromX) * (toY - fromY) < laid.columns * laid.rows * 0.3) return null;
  let fb = 0;
  let ff = 0;
  let bb = 0;
  for (let y = fromY; y < toY; y++) {
    let i = y * laid.columns + fromX;
    let j = (y + top) * back.columns + fromX + left;
    for (let x = fromX; x < toX; x++, i++, j++) {
      const f = laid.data[i];
      const b = back.data[j];
      fb += f * b;
      ff += f * f;
      bb += b * b;
    }
  }
  return ff > 0 && bb > 0 ? fb / Math.sqrt(ff * bb) : null;
}

/** Least squares of back(place(p)) against gain · front(p) + offset, by the place's four numbers. */
function refined(front: GridMap, back: GridMap, start: Similarity): Placed {
  let place = start;
  let best = correlationAt(front, back, affineOf(place));
  for (let round = 0; round < 12; round++) {
    const step = stepOf(front, back, place);
    if (step === null) break;
    const next: Similarity = {
      ...place,
      angleRad: place.angleRad + step[0],
      scale: Math.min(1.03, Math.max(0.97, place.scale * (1 + step[1]))),
      shiftMm: [place.shiftMm[0] + step[2], place.shiftMm[1] + step[3]],
    };
    const correlation = correlationAt(front, back, affineOf(next));
    if (!(correlation > best)) break;
    const settled = correlation - best < 1e-5;
    [place, best] = [next, correlation];
    if (settled) break;
  }
  return { place, correlation: best };
}

function correlationAt(front: GridMap, back: GridMap, there: Affine): number {
  let fb = 0;
  let ff = 0;
  let bb = 0;
  eachInside(front, back, there, (f, x, y) => {
    const b = readAt(back, x, y);
    fb += f * b;
    ff += f * f;
    bb += b * b;
  });
  return ff > 0 && bb > 0 ? fb / Math.sqrt(ff * bb) : -1;
}

/** @returns change of angle, relative scale, x and y, mm */
function stepOf(front: GridMap, back: GridMap, place: Similarity): readonly number[] | null {
  const there = affineOf(place);
  const { stepMm } = front;
  let fb = 0;
  let ff = 0;
  eachInside(front, back, there, (f, x, y) => {
    fb += f * readAt(back, x, y);
    ff += f * f;
  });
  if (!(ff > 0) || !(fb > 0)) return null;
  const gain = fb / ff;
  const normal = Array.from({ length: 4 }, () => [0, 0, 0, 0]);
  const right = [0, 0, 0, 0];
  const slope = [0, 0, 0, 0];
  eachInside(front, back, there, (f, x, y) => {
    const rest = gain * f - readAt(back, x, y);
    const gx = (readAt(back, x + 0.5, y) - readAt(back, x - 0.5, y)) / stepMm;
    const gy = (readAt(back, x, y + 0.5) - readAt(back, x, y - 0.5)) / stepMm;
    // The point relative to the place's own shift: what angle and scale act on.
    const px = (x - back.columns / 2) * stepMm - place.shiftMm[0];
    const py = (y - back.rows / 2) * stepMm - place.shiftMm[1];
    slope[0] = -gx * py + gy * px;
    slope[1] = gx * px + gy * py;
    slope[2] = gx;
    slope[3] = gy;
    for (let a = 0; a < 4; a++) {
      right[a] += slope[a] * rest;
      for (let c = 0; c <= a; c++) normal[a][c] += slope[a] * slope[c];
    }
  });
  for (let a = 0; a < 4; a++) {
    normal[a][a] = normal[a][a] * 1.001 + 1e-12;
    for (let c = 0; c < a; c++) normal[c][a] = normal[a][c];
  }
  const step = solve(new Matrix(normal), Matrix.columnVector(right)).getColumn(0);
  return step.every(Number.isFinite) ? step : null;
}

/** Every cell of the front that falls on the back: its value and its place there, cells. */
function eachInside(
  front: GridMap,
  back: GridMap,
  there: Affine,
  visit: (value: number, x: number, y: number) => void,
): void {
  const { columns, rows, stepMm, data } = front;
  const { a, b, c, d, e, f } = there;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const xMm = (column + 0.5 - columns / 2) * stepMm;
      const yMm = (row + 0.5 - rows / 2) * stepMm;
      const x = (a * xMm + b * yMm + c) / stepMm + back.columns / 2;
      const y = (d * xMm + e * yMm + f) / stepMm + back.rows / 2;
      if (x < 1 || y < 1 || x > back.columns - 1 || y > back.rows - 1) continue;
      visit(data[row * columns + column], x, y);
    }
  }
}
