/** A strip laid straight for looking at: turned so that the liquid runs to the right, with the millimetres of its box along it. */
import type { SeenStrip } from './seeStrip.ts';

export interface StraightStrip {
  /** Linear signals, row-major, interleaved. Column 0 begins at the end of the box where the run starts; nothing is mirrored. */
  readonly data: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Of the box along the run, which the picture's width shows. */
  readonly lengthMm: number;
}

/** @param lengthMm of the box along the run. @param most pixels along it. */
export function straightPicture(
  { view, toBox, reversed, travel }: Pick<SeenStrip, 'view' | 'toBox' | 'reversed' | 'travel'>,
  lengthMm: number,
  most: number,
): StraightStrip {
  const { raster, pxMm, along, across, first, stepAlong, stepAcross } = view;
  const widthPx = Math.max(1, Math.min(most, Math.round(lengthMm / pxMm)));
  const columnMm = lengthMm / widthPx;
  const perCell = Math.max(1, Math.round(columnMm / pxMm));
  const heightPx = Math.max(1, Math.floor(across / perCell));
  // From the end where the run starts, as the box counts: straightening bends that a little.
  const places = Float64Array.from({ length: along }, (_, a) => {
    const mm = toBox((a + 0.5) * pxMm);
    return reversed ? lengthMm - mm : mm;
  });
  // A quarter turn takes a strip's left side up or down, according to which way its run is turned to the right.
  const flipped = travel === 'down' || travel === 'left';
  const data = new Float32Array(3 * widthPx * heightPx);
  for (let x = 0; x < widthPx; x++) {
    const middle = rowAt(places, (x + 0.5) * columnMm);
    const from = Math.max(0, Math.min(along - perCell, Math.round(middle - (perCell - 1) / 2)));
    for (let y = 0; y < heightPx; y++) {
      const side = flipped ? heightPx - 1 - y : y;
      const out = 3 * (y * widthPx + x);
      for (let a = from; a < from + perCell; a++) {
        for (let q = side * perCell; q < (side + 1) * perCell; q++) {
          const at = first + a * stepAlong + q * stepAcross;
          for (let c = 0; c < 3; c++) data[out + c] += raster.data[at + c];
        }
      }
      for (let c = 0; c < 3; c++) data[out + c] /= perCell ** 2;
    }
  }
  return { data, widthPx, heightPx, lengthMm };
}

/** Fraction of a row that lies at a place; places ascend. */
function rowAt(places: Float64Array, mm: number): number {
  let [low, high] = [0, places.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (places[middle] <= mm) low = middle;
    else high = middle;
  }
  const step = places[high] - places[low];
  return step === 0 ? low : low + Math.min(1, Math.max(0, (mm - places[low]) / step));
}
