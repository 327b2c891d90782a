/**
 * At which contrast a stroke ends. Blur leaves in place where light has fallen by half, but ink thins out within the paper's fibres before it ends, and
 * of an ink that takes nearly all light half a dose shows far more than half of the contrast: there half of the contrast lies outside the edge.
 */
import type { Densest } from './coarseInk.ts';

/** Dose falls to nothing over some 0.05 mm, about as far as scanners blur; so much of what half a dose shows above half remains then. Chosen on seeds below 1000. */
const SEEN_THROUGH_BLUR = 0.15;
/** Signal over paper below which absorbance is not followed. */
const DARKEST = 0.015;
const ENTRIES = 256;

export interface RimLevels {
  /** Level of a core of k / perCore: data[k]. */
  readonly data: Float64Array;
  readonly perCore: number;
}

/** @param most No core is higher. */
export function rimLevels({ lost, direction }: Pick<Densest, 'lost' | 'direction'>, most: number): RimLevels {
  // Beer and Lambert, channel by channel; the densest ink is dose 1.
  const absorbance = lost.map((share) => -Math.log(Math.max(DARKEST, 1 - Math.max(0, share))));
  const contrastOf = (dose: number): number =>
    absorbance.reduce((sum, a, c) => sum + direction[c] * (1 - Math.exp(-dose * a)), 0);
  const data = new Float64Array(ENTRIES + 1);
  let dose = 0;
  for (let k = 1; k <= ENTRIES; k++) {
    const core = (k * most) / ENTRIES;
    while (dose < MOST_DOSE && contrastOf(dose) < core) dose += DOSE_STEP;
    const half = contrastOf(dose / 2) / contrastOf(dose);
    data[k] = core * (0.5 + SEEN_THROUGH_BLUR * (half - 0.5));
  }
  return { data, perCore: ENTRIES / most };
}

/** Contrast above that of the densest ink belongs to crossings, of which nothing finer need be known. */
const MOST_DOSE = 2;
const DOSE_STEP = 1 / 128;
