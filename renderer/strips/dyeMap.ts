/** A dye's amounts as pixels: pale paper where there is none, the dye's own colour, made darker, where there is most. Pure. */
import { shown } from '../../analysis/colour/shown.ts';
import type { LabValue } from '../../analysis/quantity.ts';

type Rgb = readonly [r: number, g: number, b: number];

const PAPER: Rgb = [243, 243, 243];
/** Pale dyes would be lost on paper: a map's colour is at least this dark. */
const MOST_L = 62;

/** What stands for most of a dye on its map, 8-bit sRGB. */
export function dyeColour([L, a, b]: LabValue): Rgb {
  const [r, g, blue] = shown([Math.min(L, MOST_L), a, b]).rgb;
  return [r, g, blue];
}

/** RGBA of each cell. @param cells a byte a cell, base64 */
export function mapPixels(cells: string, [r, g, b]: Rgb): Uint8ClampedArray {
  const bytes = atob(cells);
  const out = new Uint8ClampedArray(4 * bytes.length);
  for (let i = 0; i < bytes.length; i++) {
    const share = bytes.charCodeAt(i) / 255;
    out[4 * i] = PAPER[0] + share * (r - PAPER[0]);
    out[4 * i + 1] = PAPER[1] + share * (g - PAPER[1]);
    out[4 * i + 2] = PAPER[2] + share * (b - PAPER[2]);
    out[4 * i + 3] = 255;
  }
  return out;
}
