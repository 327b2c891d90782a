/** Parts of a raster's rows, for work that need not look at all of it: where ink lies near, say. */
export interface Spans {
  /** So many rows, from the first on, have the same spans; the last ones have those of the last set. */
  readonly rowsPx: number;
  /** Of each set its first place in `edges`; one more for the end of all. */
  readonly sets: Int32Array;
  /** First pixel of each span and the one behind its last, left to right; spans of a row do not touch. */
  readonly edges: Int32Array;
}

/** All of every row. */
export function wholeRows(widthPx: number, heightPx: number): Spans {
  return { rowsPx: Math.max(1, heightPx), sets: Int32Array.of(0, 2), edges: Int32Array.of(0, widthPx) };
}

/** Which set of spans a row has. */
export function setOfRow({ rowsPx, sets }: Spans, y: number): number {
  return Math.min(sets.length - 2, Math.floor(y / rowsPx));
}

/**
 * Spans of the pixels whose squares hold a value of no more than `most`.
 * @param squares Row-major. @param side Pixels along a square's side; the last squares have what is left over.
 */
export function spansOfSquares(
  squares: Float32Array,
  { widthPx: width, heightPx: height }: { readonly widthPx: number; readonly heightPx: number },
  most: number,
  side: number,
  widthPx: number,
): Spans {
  const sets = new Int32Array(height + 1);
  const edges = new Int32Array((width + 2) * height);
  let count = 0;
  for (let y = 0; y < height; y++) {
    count = addSpans(squares, y * width, width, most, side, widthPx, edges, count);
    sets[y + 1] = count;
  }
  return { rowsPx: side, sets, edges: edges.slice(0, count) };
}

/** Of one row of squares. @returns how many edges there are then */
function addSpans(
  squares: Float32Array,
  from: number,
  width: number,
  most: number,
  side: number,
  widthPx: number,
  edges: Int32Array,
  before: number,
): number {
  let count = before;
  for (let x = 0; x < width; x++) {
    if (squares[from + x] > most) continue;
    edges[count++] = x * side;
    while (x + 1 < width && squares[from + x + 1] <= most) x++;
    edges[count++] = x === width - 1 ? widthPx : (x + 1) * side;
  }
  return count;
}
