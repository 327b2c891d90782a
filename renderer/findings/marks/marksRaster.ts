/** What each pixel of a region counted as, and where that lies on the scan. */
import { INK_MARKS } from '../../../analysis/measure/ink.ts';
import { REVERSE_MARKS } from '../../../analysis/measure/showThrough/reverseInput.ts';

export interface MarksRaster {
  /** INK_MARKS, of a reverse REVERSE_MARKS, row by row. */
  readonly data: Uint8Array;
  readonly columns: number;
  readonly rows: number;
  /** Px of the scan. */
  readonly boxPx: readonly [x: number, y: number, width: number, height: number];
}

/** A part of the scan as a picture of `width` × `height` dots. */
export interface DotView {
  /** Px of the scan at the picture's top left corner. */
  readonly leftPx: number;
  readonly topPx: number;
  readonly pxPerDot: number;
  readonly width: number;
  readonly height: number;
}

export const MARK_KINDS = ['counted', 'dark', 'light', 'doubleLayer', 'sheen', 'halo', 'front'] as const;
export type MarkKind = (typeof MARK_KINDS)[number];
export type ShownMarks = Readonly<Record<MarkKind, boolean>>;

/** The picture's class at every dot; none outside the raster. */
export function dotsOf(raster: MarksRaster, view: DotView): Uint8Array {
  const [x, y, width, height] = raster.boxPx;
  const column = cellsAlong(view.width, view.leftPx - x, view.pxPerDot, raster.columns / width, raster.columns);
  const row = cellsAlong(view.height, view.topPx - y, view.pxPerDot, raster.rows / height, raster.rows);
  const dots = new Uint8Array(view.width * view.height);
  for (let j = 0; j < view.height; j++) {
    if (row[j] < 0) continue;
    const from = row[j] * raster.columns;
    for (let i = 0; i < view.width; i++) {
      if (column[i] >= 0) dots[j * view.width + i] = raster.data[from + column[i]];
    }
  }
  return dots;
}

/** Which cell lies under each dot's middle; −1: none. */
function cellsAlong(dots: number, startPx: number, pxPerDot: number, cellsPerPx: number, cells: number): Int32Array {
  return Int32Array.from({ length: dots }, (_, i) => {
    const cell = Math.floor((startPx + (i + 0.5) * pxPerDot) * cellsPerPx);
    return cell < 0 || cell >= cells ? -1 : cell;
  });
}

const COUNTED: readonly number[] = [INK_MARKS.counted, INK_MARKS.dark, INK_MARKS.light, INK_MARKS.sheen];
/** Of a reverse: where the front's writing lies behind it. */
const FRONT: readonly number[] = [REVERSE_MARKS.behindInk, REVERSE_MARKS.behindCore, REVERSE_MARKS.bleed];

/** 1 where a dot counted for colour and shading: the middle and both ends. */
export function countedOf(dots: Uint8Array): Uint8Array {
  return oneOf(dots, COUNTED);
}

/** 1 where a dot lies behind the front's writing. */
export function frontOf(dots: Uint8Array): Uint8Array {
  return oneOf(dots, FRONT);
}

function oneOf(dots: Uint8Array, marks: readonly number[]): Uint8Array {
  const found = new Uint8Array(dots.length);
  for (let i = 0; i < dots.length; i++) {
    if (marks.includes(dots[i])) found[i] = 1;
  }
  return found;
}
