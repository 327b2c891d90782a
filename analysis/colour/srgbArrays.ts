/** Float XYZ to 8-bit sRGB over whole pictures, for stills and annotated scans. */
import { srgbDecode, XYZ_D50_TO_RGB } from './srgb.ts';

/** Linear light at which each code begins; 256 lies above every code. */
const BEGINS = Float64Array.from({ length: 257 }, (_, code) =>
  code === 256 ? Infinity : srgbDecode((code - 0.5) / 255),
);
/** The code at the lower edge of each of 16384 equal steps of linear light; no step holds more than one change of code. */
const STEPS = 16384;
const CODES = Uint8Array.from({ length: STEPS + 1 }, (_, i) => BEGINS.findLastIndex((begin) => begin <= i / STEPS));

/**
 * XYZ (D50, Y = 1 for the perfect diffuser) → sRGB codes, clipped to 0..255; the same codes as `xyzD50ToSrgb8`.
 * Both arrays are interleaved triples of the same length.
 */
export function xyzToSrgb8Array(xyz: Float32Array, out: Uint8Array): void {
  const [[rx, ry, rz], [gx, gy, gz], [bx, by, bz]] = XYZ_D50_TO_RGB;
  for (let i = 0; i + 2 < xyz.length; i += 3) {
    const x = xyz[i];
    const y = xyz[i + 1];
    const z = xyz[i + 2];
    out[i] = code(rx * x + ry * y + rz * z);
    out[i + 1] = code(gx * x + gy * y + gz * z);
    out[i + 2] = code(bx * x + by * y + bz * z);
  }
}

function code(linear: number): number {
  const v = linear > 0 ? (linear < 1 ? linear : 1) : 0;
  const below = CODES[(v * STEPS) | 0];
  return v >= BEGINS[below + 1] ? below + 1 : below;
}
