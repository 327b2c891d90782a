/** Where ink came through on the back, dot by dot. Pure. */
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import { components } from '../../analysis/raster/components.ts';
import type { MarksRaster } from '../findings/marks/marksRaster.ts';

export interface BleedDot {
  /** Px of the scan: its middle, and the radius of a disc that holds it. */
  readonly x: number;
  readonly y: number;
  readonly r: number;
}

export function bleedDots({ data, columns, rows, boxPx: [x, y, width, height] }: MarksRaster): readonly BleedDot[] {
  const mask = Uint8Array.from(data, (mark) => (mark === REVERSE_MARKS.bleed ? 1 : 0));
  const [across, down] = [width / columns, height / rows];
  return components({ data: mask, widthPx: columns, heightPx: rows }).map(({ centroid, x0, x1, y0, y1 }) => ({
    x: x + centroid[0] * across,
    y: y + centroid[1] * down,
    r: (Math.max(x1 - x0 + 1, y1 - y0 + 1) / 2) * Math.max(across, down),
  }));
}
