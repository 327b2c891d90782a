/**
 * Values between pixels by cubic B-splines (cubicSpline.ts), whose coefficients are made where somebody looks: strokes and what
 * lies beside them are a part of a region.
 */
import { splineAlong } from './cubicSpline.ts';
import { NEW_ROOMS, type Rooms } from './rooms.ts';

export interface TiledSpline {
  readonly plane: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Known where `isMade`, a tile each. */
  readonly coefficients: Float32Array;
  readonly isMade: Uint8Array;
  readonly columns: number;
  readonly rows: number;
  /** Where one tile and its margins are made. */
  readonly room: Float64Array;
}

const TILE_PX = 64;
/** A coefficient depends on pixels this far away by less than 3e-5 of their own. */
const MARGIN_PX = 8;
const POLE = Math.sqrt(3) - 2;
const ROOM_PX = TILE_PX + 2 * MARGIN_PX;
/** Read four lines at a time. */
const SPARE_LINES = 4;

/** @param plane One channel, row-major. */
export function tiledSpline(
  plane: Float32Array,
  widthPx: number,
  heightPx: number,
  rooms: Rooms = NEW_ROOMS,
): TiledSpline {
  const columns = Math.ceil(widthPx / TILE_PX);
  const rows = Math.ceil(heightPx / TILE_PX);
  return {
    plane,
    widthPx,
    heightPx,
    coefficients: rooms.floats(plane.length),
    isMade: new Uint8Array(columns * rows),
    columns,
    rows,
    room: new Float64Array(ROOM_PX * (ROOM_PX + SPARE_LINES)),
  };
}

// Functions of the file, none made anew for a region: what is compiled for one region serves the next.

/** Values at evenly spaced places along a straight line, as splineAlong gives them. */
export function readAlong(
  spline: TiledSpline,
  x: number,
  y: number,
  dx: number,
  dy: number,
  out: Float32Array | Float64Array,
  at: number,
  count: number,
): void {
  const { widthPx, heightPx } = spline;
  makeAbout(spline, x, y, x + (count - 1) * dx, y + (count - 1) * dy);
  splineAlong(spline.coefficients, widthPx, heightPx, x, y, dx, dy, out, at, count);
}

/** Each value takes a pixel before its own and two behind it. */
function makeAbout(spline: TiledSpline, x: number, y: number, endX: number, endY: number): void {
  const { isMade, columns, rows } = spline;
  const left = Math.max(0, Math.floor((Math.min(x, endX) - 1) / TILE_PX));
  const right = Math.min(columns - 1, Math.floor((Math.max(x, endX) + 2) / TILE_PX));
  const top = Math.max(0, Math.floor((Math.min(y, endY) - 1) / TILE_PX));
  const bottom = Math.min(rows - 1, Math.floor((Math.max(y, endY) + 2) / TILE_PX));
  for (let row = top; row <= bottom; row++) {
    for (let column = left; column <= right; column++) {
      if (isMade[row * columns + column] === 0) makeTile(spline, column, row);
    }
  }
}

function makeTile(spline: TiledSpline, column: number, row: number): void {
  const { plane, coefficients, room, widthPx, heightPx } = spline;
  spline.isMade[row * spline.columns + column] = 1;
  const left = Math.max(0, column * TILE_PX - MARGIN_PX);
  const top = Math.max(0, row * TILE_PX - MARGIN_PX);
  const w = Math.min(widthPx, (column + 1) * TILE_PX + MARGIN_PX) - left;
  const h = Math.min(heightPx, (row + 1) * TILE_PX + MARGIN_PX) - top;
  for (let y = 0; y < h; y++) loadRow(plane, (top + y) * widthPx + left, room, y * ROOM_PX, w);
  const fromX = column * TILE_PX - left;
  const toX = Math.min(widthPx - left, fromX + TILE_PX);
  const toY = Math.min(heightPx, (row + 1) * TILE_PX) - top;
  for (let y = 0; y < h; y += 4) filterFour(room, y * ROOM_PX, ROOM_PX, w, 1);
  for (let x = fromX; x < toX; x += 4) filterFour(room, x, 1, h, ROOM_PX);
  for (let y = row * TILE_PX - top; y < toY; y++) {
    keepRow(room, y * ROOM_PX + fromX, coefficients, (top + y) * widthPx + left + fromX, toX - fromX);
  }
}

function loadRow(plane: Float32Array, from: number, room: Float64Array, to: number, count: number): void {
  // The gain of both directions.
  for (let i = 0; i < count; i++) room[to + i] = 36 * plane[from + i];
}

function keepRow(room: Float64Array, from: number, coefficients: Float32Array, to: number, count: number): void {
  for (let i = 0; i < count; i++) coefficients[to + i] = room[from + i];
}

/** Four lines at once, since each step of one waits for the one before it; what lies in the room beyond the last is nobody's. */
function filterFour(room: Float64Array, first: number, line: number, length: number, step: number): void {
  const p = first;
  const q = p + line;
  const r = q + line;
  const s = r + line;
  // A single pixel has nothing beside it.
  if (length < 2) {
    for (const at of [p, q, r, s]) room[at] /= 6;
    return;
  }
  let a = 0, b = 0, c = 0, d = 0; // prettier-ignore
  for (let k = 0, i = 0, z = 1; k < Math.min(length, MARGIN_PX); k++, i += step, z *= POLE) {
    a += z * room[p + i];
    b += z * room[q + i];
    c += z * room[r + i];
    d += z * room[s + i];
  }
  const last = (length - 1) * step;
  for (let i = 0; ; i += step) {
    room[p + i] = a;
    room[q + i] = b;
    room[r + i] = c;
    room[s + i] = d;
    if (i === last) break;
    a = room[p + i + step] + POLE * a;
    b = room[q + i + step] + POLE * b;
    c = room[r + i + step] + POLE * c;
    d = room[s + i + step] + POLE * d;
  }
  const end = POLE / (POLE * POLE - 1);
  a = end * (a + POLE * room[p + last - step]);
  b = end * (b + POLE * room[q + last - step]);
  c = end * (c + POLE * room[r + last - step]);
  d = end * (d + POLE * room[s + last - step]);
  for (let i = last; ; i -= step) {
    room[p + i] = a;
    room[q + i] = b;
    room[r + i] = c;
    room[s + i] = d;
    if (i === 0) break;
    a = POLE * (a - room[p + i - step]);
    b = POLE * (b - room[q + i - step]);
    c = POLE * (c - room[r + i - step]);
    d = POLE * (d - room[s + i - step]);
  }
}
