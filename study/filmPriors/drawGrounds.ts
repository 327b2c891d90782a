/**
 * Papers as an ink might lie on, log reflectance, in five classes. What colours a paper is in its mass: absorption adds up beside the sheet's own, and an
 * endless layer's reflectance follows (Kubelka & Munk 1931), which is broader and flatter than the dye alone. Ranges are choices, no source.
 */
import { normal } from '../../analysis/seededRandom.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { between } from '../draw.ts';
import { drawLobes } from './drawInks.ts';

/** dyed: by anything; edge: by a dye that takes away all that is shorter, as yellows and reds do. */
export const GROUND_CLASSES = ['white', 'yellowed', 'grey', 'dyed', 'edge'] as const;
export type GroundClass = (typeof GROUND_CLASSES)[number];

type Random = () => number;

/** A dye's strongest absorption over the sheet's scatter, evenly by its logarithm. */
const DYED = { from: 0.02, to: 1.5 } as const;

/** @param ripple smooth curves of unit deviation that no two papers share */
export function drawGround(kind: GroundClass, ripple: readonly Float64Array[], random: Random): Float64Array {
  const top = between(random, 0.78, 0.96);
  const yellow = kind === 'yellowed' ? between(random, 0.1, 0.9) : between(random, 0.02, 0.2);
  const fallNm = between(random, 25, 90);
  const grey = kind === 'grey' ? between(random, 0.1, 1.1) : 0;
  const tilt = between(random, -0.03, 0.03) + (kind === 'grey' ? between(random, -0.08, 0.08) : 0);
  const dye = kind === 'dyed' ? drawLobes(random) : kind === 'edge' ? drawEdge(random) : null;
  const strength = DYED.from * (DYED.to / DYED.from) ** random();
  const own = ripple.map(() => 0.008 * normal(random));
  return Float64Array.from(WAVELENGTHS_NM, (nm, l) => {
    const short = yellow * Math.exp(-(nm - 380) / fallNm);
    const undyed = Math.min(0.999, top * Math.exp((tilt * (nm - 555)) / 175 - short - grey));
    const waves = own.reduce((sum, a, k) => sum + a * ripple[k][l], 0);
    return Math.log(dye ? dyedInTheMass(undyed, strength * dye[l]) : undyed) + waves;
  });
}

/** Absorption over scatter of an endless layer of reflectance R is (1 − R)² / 2R. */
function dyedInTheMass(undyed: number, added: number): number {
  const ks = (1 - undyed) ** 2 / (2 * undyed) + added;
  return 1 + ks - Math.sqrt(ks * (ks + 2));
}

function drawEdge(random: Random): Float64Array {
  const edgeNm = between(random, 430, 620);
  const width = between(random, 8, 30);
  return Float64Array.from(WAVELENGTHS_NM, (nm) => 1 / (1 + Math.exp((nm - edgeNm) / width)));
}
