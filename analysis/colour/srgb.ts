/** sRGB, for screens and pictures only: measurement stays in XYZ and Lab. Source: IEC 61966-2-1:1999. */
import { bradfordMatrix, inverse3, product3, times } from './adapt.ts';
import { D50 } from './lab.ts';
import type { Xyz } from './lab.ts';

/** The white of sRGB, x = 0.3127, y = 0.3290, which is not quite the D65 of ASTM E308. */
const SRGB_WHITE: Xyz = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329];
/** Linear sRGB → XYZ under its own white, computed from the primaries (0.64, 0.33), (0.30, 0.60), (0.15, 0.06). */
const RGB_TO_XYZ = [
  [0.4123907992659593, 0.35758433938387796, 0.18048078840183435],
  [0.21263900587151024, 0.7151686787677559, 0.07219231536073374],
  [0.01933081871559182, 0.11919477979462596, 0.950532152249661],
];
const RGB_TO_XYZ_D50 = product3(bradfordMatrix(SRGB_WHITE, D50), RGB_TO_XYZ);
/** XYZ (D50, Y = 1 for the perfect diffuser) → linear sRGB; rows R, G, B. */
export const XYZ_D50_TO_RGB = inverse3(RGB_TO_XYZ_D50);

/** Coded value 0..1 → linear light. */
export function srgbDecode(v: number): number {
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
}

/** Linear light → coded value; below 0 and above 1 it goes on as it began. */
export function srgbEncode(v: number): number {
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}

/** @param r coded 0..1, as @param g and @param b. Adapted from sRGB's white to D50 by Bradford. */
export function srgbToXyzD50(r: number, g: number, b: number): Xyz {
  return times(RGB_TO_XYZ_D50, [srgbDecode(r), srgbDecode(g), srgbDecode(b)]);
}

/** The nearest 8-bit sRGB for display, each channel clipped; `inGamut` says whether nothing was clipped. */
export function xyzD50ToSrgb8(xyz: Xyz): { rgb: [r: number, g: number, b: number]; inGamut: boolean } {
  const codes = times(XYZ_D50_TO_RGB, xyz).map((v) => Math.round(255 * srgbEncode(v)));
  const [r, g, b] = codes.map((v) => Math.min(255, Math.max(0, v)));
  return { rgb: [r, g, b], inGamut: codes.every((v) => v >= 0 && v <= 255) };
}
