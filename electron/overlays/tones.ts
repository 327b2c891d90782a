/** The picture's chrome: neutral greys. */
import { shown } from '../../analysis/colour/shown.ts';

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
