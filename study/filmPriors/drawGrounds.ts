/** Papers as an ink might lie on, log reflectance, in five classes. Ranges are choices, no source. */
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { between, normal } from '../draw.ts';
import { drawLobes } from './drawInks.ts';

export const GROUND_CLASSES = ['white', 'yellowed', 'grey', 'dyed', 'edge'] as const;
export type GroundClass = (typeof GROUND_CLASSES)[number];

type Random = () => number;

/** @param ripple smooth curves of unit deviation that no two papers share */
export function drawGround(kind: GroundClass, ripple: readonly Float64Array[], random: Random): Float64Array {
  const top = between(random, 0.78, 0.96);
  const yellow = kind === 'yellowed' ? between(random, 0.1, 0.9) : between(random, 0.02, 0.2);
  const fallNm = between(random, 25, 90);
  const grey = kind === 'grey' ? between(random, 0.1, 1.1) : 0;
  const tilt = between(random, -0.03, 0.03) + (kind === 'grey' ? between(random, -0.08, 0.08) : 0);
  const dye = kind === 'dyed' ? drawLobes(random) : null;
  const strength = between(random, 0.05, 1.2);
  const edgeNm = between(random, 430, 620);
  const edgeWidth = between(random, 10, 40);
  const depth = kind === 'edge' ? between(random, 0.1, 2) : 0;
  const own = ripple.map(() => 0.008 * normal(random));
  return Float64Array.from(WAVELENGTHS_NM, (nm, l) => {
    const short = yellow * Math.exp(-(nm - 380) / fallNm);
    const fall = depth / (1 + Math.exp((nm - edgeNm) / edgeWidth));
    const waves = own.reduce((sum, a, k) => sum + a * ripple[k][l], 0);
    return Math.log(top) - short - grey - fall - (dye ? strength * dye[l] : 0) + (tilt * (nm - 555)) / 175 + waves;
  });
}
