import type { LabValue } from './quantity.ts';

/** Below this chroma a hue says little (common practice, no source). */
const GREY_CHROMA = 8;

/**
 * Hue with its standard uncertainty, degrees, to first order in a* and b*.
 * @param u standard uncertainties of L*, a*, b* @returns null where the colour is too grey, or its hue too unsure, to have one
 */
export function hueWithDoubt([, a, b]: LabValue, [, ua, ub]: LabValue): { deg: number; u: number } | null {
  const chroma = Math.hypot(a, b);
  if (chroma < GREY_CHROMA) return null;
  const deg = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  const u = ((Math.hypot(b * ua, a * ub) / chroma ** 2) * 180) / Math.PI;
  return u > 90 ? null : { deg, u };
}
