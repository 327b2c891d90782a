/** About what printers make of the card's device colours: to know it again in a scan, not to measure by. */
import { labD50, xyzToLab } from '../../colour/lab.ts';
import { srgbToXyzD50 } from '../../colour/srgb.ts';
import type { TargetLayout, TargetReference } from '../calibration.ts';
import { WETLINE_CARD } from './plan.ts';

/** sRGB between L* 14 and 93, strong colours duller. Nothing for another card, whose device colours nobody knows. */
export function likelyColours(card: TargetLayout): TargetReference {
  if (card.name !== WETLINE_CARD.layout.name) return { patches: new Map() };
  return {
    patches: new Map(
      [...WETLINE_CARD.patches].map(([id, rgb]) => {
        const [L, a, b] = xyzToLab(srgbToXyzD50(...rgb));
        const dull = 1 / (1 + Math.hypot(a, b) / 140);
        return [id, { lab: labD50(14 + 0.79 * L, a * dull, b * dull) }];
      }),
    ),
  };
}
