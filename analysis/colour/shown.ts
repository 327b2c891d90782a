/** Measured colours as a screen can show them. */
import { labD50, labToXyz } from './lab.ts';
import { xyzD50ToSrgb8 } from './srgb.ts';

/** [L*, a*, b*] under D50 as plain numbers. */
export type LabTriple = readonly [L: number, a: number, b: number];

export type Rgb = readonly [r: number, g: number, b: number];

/** Nearest sRGB of a measured colour; `exact` is false when the screen cannot show it. */
export function shown([L, a, b]: LabTriple): { readonly rgb: Rgb; readonly hex: string; readonly exact: boolean } {
  const { rgb, inGamut } = xyzD50ToSrgb8(labToXyz(labD50(L, a, b)));
  return { rgb, hex: hexOf(rgb), exact: inGamut };
}

function hexOf(rgb: Rgb): string {
  return `#${rgb.map((v) => v.toString(16).padStart(2, '0')).join('')}`;
}
