/** Bare paper by small squares: what shade and stains are told from. */
import type { Signal } from '../locate/paperSurface.ts';
import type { LinearRaster } from '../raster/raster.ts';
import { triple } from '../triple.ts';

const SQUARE_MM = 1;
/** Boxes too small for as many squares are seen in squares of half the side. */
const SMALL_SQUARE_MM = 0.5;
/** Fewer squares tell no paper beside the shade. */
const LEAST_SQUARES = 36;

/** So much darker in a channel, relative, is shade: less are paper's own clouds. */
export const SHADE = 0.015;

/** What is marked as bare paper, linear. */
export type PaperBox = Pick<LinearRaster, 'data' | 'widthPx' | 'heightPx' | 'dpi'>;

export interface PaperSquares {
  /** px. */
  readonly side: number;
  readonly across: number;
  readonly down: number;
  /** Numbers, row by row, of those of which print leaves more than half. */
  readonly kept: readonly number[];
  /** Of each kept one: column and row. */
  readonly places: readonly (readonly [number, number])[];
  /** Mean linear signals of each kept one. */
  readonly means: readonly Signal[];
}

/** @param print 1 where something is printed; null: nowhere. @returns null where the box holds too few of them */
export function paperSquares(
  { data, widthPx, heightPx, dpi }: PaperBox,
  print: Uint8Array | null,
): PaperSquares | null {
  const isSmall = widthPx * heightPx < LEAST_SQUARES * ((SQUARE_MM * dpi) / 25.4) ** 2;
  const side = Math.max(1, Math.round(((isSmall ? SMALL_SQUARE_MM : SQUARE_MM) * dpi) / 25.4));
  const [across, down] = [Math.floor(widthPx / side), Math.floor(heightPx / side)];
  if (across * down < LEAST_SQUARES) return null;
  const sums = new Float64Array(4 * across * down);
  for (let y = 0; y < down * side; y++) addRow({ data, widthPx }, print, y, side, across, sums);
  const kept: number[] = [];
  // A square that print crosses says little.
  for (let s = 0; s < across * down; s++) if (sums[4 * s + 3] > (side * side) / 2) kept.push(s);
  if (kept.length < LEAST_SQUARES) return null;
  return {
    side,
    across,
    down,
    kept,
    places: kept.map((s) => [s % across, Math.floor(s / across)] as const),
    means: kept.map((s) => triple((c) => sums[4 * s + c] / sums[4 * s + 3])),
  };
}

/** To each square of one row of pixels its three sums and how many they are. */
function addRow(
  { data, widthPx }: Pick<PaperBox, 'data' | 'widthPx'>,
  print: Uint8Array | null,
  y: number,
  side: number,
  across: number,
  sums: Float64Array,
): void {
  for (let x = 0; x < across * side; x++) {
    const p = y * widthPx + x;
    if (print?.[p]) continue;
    const s = 4 * (Math.floor(y / side) * across + Math.floor(x / side));
    for (let c = 0; c < 3; c++) sums[s + c] += data[3 * p + c];
    sums[s + 3]++;
  }
}
