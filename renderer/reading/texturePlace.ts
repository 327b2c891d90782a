/** Where in a region its texture shows best: the square with the most of what is asked for. */
import type { RegionDetail } from '../../electron/backend/api.ts';
import type { TexturePart } from './shownColours.ts';

export interface BoxPx {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface Marks {
  readonly data: Uint8Array;
  readonly columns: number;
  readonly rows: number;
}

/** Classes of GET …/marks. */
const CLASS = { none: 0, ink: 1, counted: 2, dark: 3, light: 4, sheen: 6, halo: 7 } as const;

type MarkedPart = Exclude<TexturePart, object>;

const WANTED: Readonly<Record<MarkedPart, readonly number[]>> = {
  ink: [CLASS.counted, CLASS.dark, CLASS.light, CLASS.sheen],
  dark: [CLASS.dark],
  light: [CLASS.light],
  halo: [CLASS.halo],
  paper: [CLASS.none],
};

/** A square of this side, px of the scan, that holds most pixels of the wanted classes; without marks the box's middle. */
export function textureSquare(detail: RegionDetail, part: MarkedPart, sidePx: number, marks: Marks | null): BoxPx {
  const [left, top, width, height] = detail.boxPx;
  const side = Math.max(1, Math.min(Math.round(sidePx), width, height));
  const middle = { x: Math.round(left + (width - side) / 2), y: Math.round(top + (height - side) / 2) };
  const at = marks ? (fullest(marks, WANTED[part], side / (width / marks.columns)) ?? null) : null;
  if (!marks || !at) return { ...middle, width: side, height: side };
  const scale = width / marks.columns;
  return {
    x: Math.round(Math.min(left + at.column * scale, left + width - side)),
    y: Math.round(Math.min(top + at.row * scale, top + height - side)),
    width: side,
    height: side,
  };
}

/** A piece of a strip between two places along its box, as wide as it is long where the box allows. */
export function stripPiece(
  detail: RegionDetail,
  { fromMm, toMm }: Exclude<TexturePart, string>,
  pxPerMm: number,
): BoxPx {
  const [left, top, width, height] = detail.boxPx;
  const upright = detail.strip === null || detail.strip.travel === 'up' || detail.strip.travel === 'down';
  const long = upright ? height : width;
  const across = upright ? width : height;
  const length = Math.max(1, Math.min(long, Math.round((toMm - fromMm) * pxPerMm)));
  const start = Math.round(Math.min(Math.max(0, fromMm * pxPerMm), long - length));
  const breadth = Math.min(across, length);
  const inset = Math.round((across - breadth) / 2);
  return upright
    ? { x: left + inset, y: top + start, width: breadth, height: length }
    : { x: left + start, y: top + inset, width: length, height: breadth };
}

/** Top left of the fullest square, by a summed table; null when nothing is there. */
function fullest(
  { data, columns, rows }: Marks,
  wanted: readonly number[],
  side: number,
): { column: number; row: number } | null {
  const size = Math.max(1, Math.min(Math.round(side), columns, rows));
  const sums = new Uint32Array((columns + 1) * (rows + 1));
  const stride = columns + 1;
  for (let row = 0; row < rows; row++) {
    let along = 0;
    for (let column = 0; column < columns; column++) {
      if (wanted.includes(data[row * columns + column])) along++;
      sums[(row + 1) * stride + column + 1] = sums[row * stride + column + 1] + along;
    }
  }
  let best: { column: number; row: number } | null = null;
  let most = 0;
  for (let row = 0; row + size <= rows; row++) {
    for (let column = 0; column + size <= columns; column++) {
      const [a, b] = [row * stride + column, (row + size) * stride + column];
      const inside = sums[b + size] - sums[b] - sums[a + size] + sums[a];
      if (inside > most) [most, best] = [inside, { column, row }];
    }
  }
  return best;
}
