/** Colours of the picture: neutral greys for all chrome, and measured colours as sRGB. */
import { labD50, labToXyz } from '../../analysis/colour/lab.ts';
import { xyzD50ToSrgb8 } from '../../analysis/colour/srgb.ts';
import type { LabValue } from '../../analysis/quantity.ts';

export type Rgb = readonly [r: number, g: number, b: number];

/** Nearest sRGB of a measured colour; `exact` is false when the screen cannot show it. */
export function shown([L, a, b]: LabValue): { readonly rgb: Rgb; readonly hex: string; readonly exact: boolean } {
  const { rgb, inGamut } = xyzD50ToSrgb8(labToXyz(labD50(L, a, b)));
  return { rgb, hex: hexOf(rgb), exact: inGamut };
}

function hexOf(rgb: Rgb): string {
  return `#${rgb.map((v) => v.toString(16).padStart(2, '0')).join('')}`;
}

function grey(L: number): string {
  return shown([L, 0, 0]).hex;
}

/** Neutral surround for judging colour, after ISO 3664: about L* 50. */
export const SURROUND_CODE = shown([50, 0, 0]).rgb[0];
/** Text on `panel` keeps a contrast of 9 : 1, quiet text 5 : 1. */
export const TONES = {
  surround: grey(50),
  panel: grey(74),
  hairline: grey(62),
  text: grey(6),
  quietText: grey(28),
  pale: grey(96),
} as const;
