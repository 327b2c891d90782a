/** What shows through on the back of a page, as a veil behind the front's lines. */
import { xyzToLab } from '../../analysis/colour/lab.ts';
import type { Rgb } from '../../analysis/colour/shown.ts';
import { srgbToXyzD50 } from '../../analysis/colour/srgb.ts';
import { GHOST_VEILS, ghostClasses } from '../../analysis/measure/showThrough/ghostMap.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import { blendPixel, type Picture } from './picture.ts';

/** REVERSE_MARKS of the picture's own pixels, from (fromX, fromY) of it on. */
export interface VeiledMarks {
  readonly data: Uint8Array;
  readonly columns: number;
  readonly rows: number;
  readonly fromX: number;
  readonly fromY: number;
}

/** The more of the line's colour, the more shows through behind it. */
export function veilGhost(picture: Picture, marks: VeiledMarks, cellsPerMm: number, rgb: Rgb): void {
  const { data, columns, rows, fromX, fromY } = marks;
  if (!data.includes(REVERSE_MARKS.behindCore)) return;
  const lightness = new Float32Array(columns * rows);
  for (let i = 0; i < lightness.length; i++) {
    const [x, y] = [fromX + (i % columns), fromY + Math.floor(i / columns)];
    if (x < 0 || y < 0 || x >= picture.widthPx || y >= picture.heightPx) continue;
    const at = 3 * (y * picture.widthPx + x);
    const [r, g, b] = picture.data.subarray(at, at + 3);
    lightness[i] = xyzToLab(srgbToXyzD50(r / 255, g / 255, b / 255))[0];
  }
  ghostClasses({ marks: data, lightness, columns, rows, cellsPerMm }).forEach((own, i) => {
    if (own > 0) blendPixel(picture, fromX + (i % columns), fromY + Math.floor(i / columns), rgb, GHOST_VEILS[own]);
  });
}
