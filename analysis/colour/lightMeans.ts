/**
 * Means of coded device values in linear light, for pictures at smaller scales. The coding is taken as sRGB's, which most scanners
 * come near: what a mean of unlike pixels is off for another coding, tests/view/levels.test.ts says. Interleaved triples.
 */
import { srgbDecode, srgbEncode } from './srgb.ts';

type Coded = Uint8Array | Uint16Array;

const LIGHT_8 = Float32Array.from({ length: 256 }, (_, v) => srgbDecode(v / 255));
const LIGHT_16 = Float32Array.from({ length: 65536 }, (_, v) => srgbDecode(v / 65535));

/** The 16-bit code by the root of the light, where it bends least: by straight lines it is 0.02 of a code off. */
const ROOTS = 4096;
const CODES = Float32Array.from({ length: ROOTS + 2 }, (_, i) => 65535 * srgbEncode((i / ROOTS) ** 2));

/**
 * Each 2 × 2 pixels to one; at an odd edge the mean of what there is.
 * @param rows of `data`, each widthPx wide; an odd number only when the last is the picture's last.
 * @param out 16-bit codes, ⌈widthPx / 2⌉ × ⌈rows / 2⌉, whatever the bits of `data`.
 */
export function halveInLight(data: Coded, widthPx: number, rows: number, out: Uint16Array): void {
  const light = data instanceof Uint8Array ? LIGHT_8 : LIGHT_16;
  const codes = CODES;
  const perRow = 3 * widthPx;
  const pairs = widthPx >> 1;
  let o = 0;
  for (let y = 0; y < rows; y += 2) {
    let i = y * perRow;
    let j = y + 1 < rows ? i + perRow : i;
    for (let x = 0; x < pairs; x++, i += 6, j += 6, o += 3) {
      for (let k = 0; k < 3; k++) {
        const sum = light[data[i + k]] + light[data[i + k + 3]] + light[data[j + k]] + light[data[j + k + 3]];
        const root = Math.sqrt(0.25 * sum) * ROOTS;
        const n = root | 0;
        out[o + k] = codes[n] + (root - n) * (codes[n + 1] - codes[n]) + 0.5;
      }
    }
    if (widthPx & 1) {
      for (let k = 0; k < 3; k++) out[o + k] = codeOfLight(0.5 * (light[data[i + k]] + light[data[j + k]]));
      o += 3;
    }
  }
}

/** Adds up the light of rows by squares of 2^halvings pixels, all of them in one line of squares. @param sums 3 a square. */
export function addLight(data: Coded, widthPx: number, halvings: number, sums: Float64Array): void {
  const light = data instanceof Uint8Array ? LIGHT_8 : LIGHT_16;
  const side = 2 ** halvings;
  const perRow = 3 * widthPx;
  for (let from = 0; from < data.length; from += perRow) {
    for (let x = 0, s = 0, i = from; x < widthPx; x += side, s += 3) {
      const to = from + 3 * Math.min(widthPx, x + side);
      let r = 0;
      let g = 0;
      let b = 0;
      for (; i < to; i += 3) {
        r += light[data[i]];
        g += light[data[i + 1]];
        b += light[data[i + 2]];
      }
      sums[s] += r;
      sums[s + 1] += g;
      sums[s + 2] += b;
    }
  }
}

/** Light 0..1 → 16-bit code. */
export function codeOfLight(light: number): number {
  const root = Math.sqrt(light) * ROOTS;
  const n = root | 0;
  return Math.round(CODES[n] + (root - n) * (CODES[n + 1] - CODES[n]));
}
