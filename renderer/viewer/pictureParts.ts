/** How a picture is parted, so that each of its parts is drawn and copied in little time. */
import type { Size } from './viewPlace.ts';

/** Screen px. */
export interface PartBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** About a fifth of a large screen's picture: 3 ms to draw and copy on a machine without a graphics processor, 6 the first time. */
const PART_PX = 500_000;

/** Side by side without gaps, as square as may be. */
export function partBoxes({ width, height }: Size): PartBox[] {
  const count = Math.ceil((width * height) / PART_PX);
  const columns = Math.max(1, Math.round(Math.sqrt((count * width) / height)));
  const lefts = cuts(width, columns);
  const tops = cuts(height, Math.max(1, Math.ceil(count / columns)));
  return tops.slice(1).flatMap((bottom, row) =>
    lefts.slice(1).map((right, column) => ({
      left: lefts[column],
      top: tops[row],
      width: right - lefts[column],
      height: bottom - tops[row],
    })),
  );
}

function cuts(length: number, parts: number): number[] {
  return Array.from({ length: parts + 1 }, (_, i) => Math.round((i * length) / parts));
}
