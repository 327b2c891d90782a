/**
 * Exact Euclidean distance transform: down the columns by counting, along each row by the lower envelope of parabolas.
 * Source: Felzenszwalb & Huttenlocher (2012), Theory of Computing 8, 415–428.
 */
import type { Mask } from './raster.ts';
import { NEW_ROOMS, type Rooms } from './rooms.ts';
import { setOfRow, type Spans, wholeRows } from './spans.ts';

/** Rows away are kept as this less their number, so that 0, which new room holds, says that the column has no pixel of the kind. */
const NONE = 65535;
/** So many rows away a pixel is none: the sum of its square and a column's still is a 32-bit number. */
const MOST_ROWS = 40_000;
/** Where a row holds no pixel of the kind at all. */
const FAR = 1e6;
/** Roots of whole numbers up to here are looked up. */
const ROOTS = 1 << 14;
const roots = Float32Array.from({ length: ROOTS }, (_, k) => Math.sqrt(k));

/**
 * For every pixel inside the mask, the distance in px from its centre to the nearest outside pixel's centre; 0 outside.
 * The edge itself lies half a pixel nearer: a pixel that touches the outside reads 1, its distance to the edge is about 0.5.
 * Beyond the raster counts as inside, so that a stroke cut by the box is not taken for a stroke that ends there.
 */
export function distanceToOutside(mask: Mask, out: Float32Array = new Float32Array(mask.data.length)): Float32Array {
  return distanceTo(0, mask, out, Infinity);
}

/**
 * For every pixel outside the mask, the distance in px to the nearest inside pixel's centre; 0 inside.
 * @param mostPx Further away than this a pixel may read anything beyond it: what nobody asks for need not be found.
 */
export function distanceToInside(
  mask: Mask,
  out: Float32Array = new Float32Array(mask.data.length),
  mostPx = Infinity,
): Float32Array {
  return distanceTo(1, mask, out, mostPx);
}

function distanceTo(
  kind: 0 | 1,
  { widthPx: w, heightPx: h, data }: Mask,
  out: Float32Array,
  mostPx: number,
): Float32Array {
  const rows = rowsAbove(kind, data, w, h);
  const room = new Envelope(w);
  const most = Math.min(mostPx, MOST_ROWS);
  // From the bottom up, so that each row is done with while it is at hand.
  for (let start = w * (h - 1); start >= 0; start -= w) {
    if (start < w * (h - 1)) notFurtherThanBelow(rows, start, w);
    rowOfKind(rows, out, start, w, most, room);
  }
  return out;
}

function rowOfKind(rows: Uint16Array, out: Float32Array, start: number, w: number, most: number, room: Envelope): void {
  for (let x = 0; x < w; x++) {
    if (rows[start + x] === NONE) {
      out[start + x] = 0;
      continue;
    }
    const first = x;
    while (x < w && rows[start + x] !== NONE) x++;
    // Pixels of the other kind at both ends of a run are nearer than all that lie beyond them.
    rowOfRun(rows, out, start, first, x - 1, 0, w, most, Infinity, room);
    if (x < w) out[start + x] = 0;
  }
}

/**
 * Both at once, for less than either costs alone: `depthPx` as distanceToOutside tells it, `awayPx` as distanceToInside does.
 * @param nearPx Further from the mask than this, `awayPx` reads anything beyond it.
 * @param far What it is to read there, where that is known; becomes `awayPx` itself.
 * @param near Where to look: all pixels of the mask and all that lie no further from it than `nearPx`.
 */
export function distancesFromEdge(
  { data, widthPx: w, heightPx: h }: Mask,
  nearPx: number,
  far: Float32Array | null = null,
  near: Spans = wholeRows(w, h),
  rooms: Rooms = NEW_ROOMS,
): { readonly depthPx: Float32Array; readonly awayPx: Float32Array } {
  const depthPx = rooms.zeroFloats(w * h);
  const awayPx = far ?? rooms.zeroFloats(w * h);
  const mostSquare = far ? nearPx * nearPx : Infinity;
  // How many rows away the nearest pixel of the other kind lies in its own column, whichever kind a pixel is of.
  const rows = rooms.zeroCounts(w * h);
  const { sets, edges } = near;
  for (let y = 1; y < h; y++) {
    const set = setOfRow(near, y);
    for (let k = sets[set]; k < sets[set + 1]; k += 2)
      otherAbove(data, rows, y * w + edges[k], y * w + edges[k + 1], w);
  }
  const room = new Envelope(w);
  const most = Math.min(nearPx, MOST_ROWS);
  for (let y = h - 1; y >= 0; y--) {
    const set = setOfRow(near, y);
    for (let k = sets[set]; k < sets[set + 1]; k += 2) {
      if (y < h - 1) otherBelow(data, rows, y * w + edges[k], y * w + edges[k + 1], w);
      runsOfSpan(data, rows, y * w, edges[k], edges[k + 1], most, mostSquare, room, depthPx, awayPx);
    }
  }
  return { depthPx, awayPx };
}

// Without branches, which ragged edges would have foretold wrongly.

function otherAbove(data: Uint8Array, rows: Uint16Array, from: number, to: number, w: number): void {
  for (let i = from; i < to; i++) {
    const near = (rows[i - w] | -(data[i] ^ data[i - w])) & NONE;
    rows[i] = near - 1 - ((near - 1) >> 31);
  }
}

function otherBelow(data: Uint8Array, rows: Uint16Array, from: number, to: number, w: number): void {
  for (let i = from; i < to; i++) {
    const below = (rows[i + w] | -(data[i] ^ data[i + w])) & NONE;
    const near = below - 1 - ((below - 1) >> 31);
    const less = rows[i] - near;
    rows[i] -= less & (less >> 31);
  }
}

function runsOfSpan(
  data: Uint8Array,
  rows: Uint16Array,
  start: number,
  from: number,
  to: number,
  near: number,
  mostSquare: number,
  room: Envelope,
  depthPx: Float32Array,
  awayPx: Float32Array,
): void {
  for (let x = from; x < to; x++) {
    const first = x;
    const kind = data[start + x];
    while (x + 1 < to && data[start + x + 1] === kind) x++;
    if (kind === 0) rowOfRun(rows, awayPx, start, first, x, from, to, near, mostSquare, room);
    else {
      rowOfRun(rows, depthPx, start, first, x, from, to, MOST_ROWS, Infinity, room);
      awayPx.fill(0, start + first, start + x + 1);
    }
  }
}

/** What the lower envelope of a row's parabolas is kept in. */
class Envelope {
  readonly vertex: Int32Array;
  readonly levels: Int32Array;
  readonly border: Float64Array;
  /** Half of one over whole numbers: a product is quicker than a quotient. */
  readonly halves: Float64Array;

  constructor(w: number) {
    this.vertex = new Int32Array(w + 2);
    this.levels = new Int32Array(w + 2);
    this.border = new Float64Array(w + 3);
    this.halves = Float64Array.from({ length: w + 2 }, (_, n) => 0.5 / n);
  }
}

/** For every pixel how many rows further up the nearest of this kind lies in its own column. */
function rowsAbove(kind: 0 | 1, data: Uint8Array, w: number, h: number): Uint16Array {
  const rows = new Uint16Array(w * h);
  for (let x = 0; x < w; x++) rows[x] = data[x] === kind ? NONE : 0;
  for (let start = w; start < w * h; start += w) nextRow(kind, data, rows, start, w);
  return rows;
}

// A row at a time: what is called often is soon compiled, what loops over a whole page once is compiled when the page is nearly done.

function nextRow(kind: 0 | 1, data: Uint8Array, rows: Uint16Array, start: number, w: number): void {
  for (let i = start, end = start + w; i < end; i++) {
    const above = rows[i - w];
    rows[i] = data[i] === kind ? NONE : above === 0 ? 0 : above - 1;
  }
}

function notFurtherThanBelow(rows: Uint16Array, start: number, w: number): void {
  for (let i = start, end = start + w; i < end; i++) {
    const below = rows[i + w] - 1;
    if (below > rows[i]) rows[i] = below;
  }
}

/** Distances of the pixels from `first` to `last`; those beside the run are of the other kind where they lie at or behind `begin` and before `end`. @param mostSquare Of distances of which more than this is the square nothing is written. */
function rowOfRun(
  rows: Uint16Array,
  out: Float32Array,
  start: number,
  first: number,
  last: number,
  begin: number,
  end: number,
  most: number,
  mostSquare: number,
  { vertex, levels, border, halves }: Envelope,
): void {
  let k = -1;
  const to = Math.min(end - 1, last + 1);
  for (let q = Math.max(begin, first - 1); q <= to; q++) {
    const r = q < first || q > last ? 0 : NONE - rows[start + q];
    if (r > most) continue;
    const level = r * r + q * q;
    let s = -Infinity;
    while (k >= 0) {
      s = (level - levels[k]) * halves[q - vertex[k]];
      if (s > border[k]) break;
      k--;
      s = -Infinity;
    }
    k++;
    vertex[k] = q;
    levels[k] = level;
    border[k] = s;
  }
  if (k < 0) {
    if (mostSquare === Infinity) out.fill(FAR, start + first, start + last + 1);
    return;
  }
  border[k + 1] = Infinity;
  let from = first;
  for (let v = 0; v <= k && from <= last; v++) {
    // Up to the next parabola's beginning, and no further than the run.
    const until = border[v + 1] < last ? Math.floor(border[v + 1]) : last;
    if (until < from) continue;
    const at = vertex[v];
    const height = levels[v] - at * at;
    if (mostSquare === Infinity) fillParabola(out, start, from, until, at, height);
    else {
      const reach = Math.floor(Math.sqrt(mostSquare - height));
      fillParabola(out, start, Math.max(from, at - reach), Math.min(until, at + reach), at, height);
    }
    from = until + 1;
  }
}

function fillParabola(out: Float32Array, start: number, from: number, to: number, at: number, height: number): void {
  for (let q = from; q <= to; q++) {
    const square = (q - at) * (q - at) + height;
    out[start + q] = square < ROOTS ? roots[square] : Math.sqrt(square);
  }
}
