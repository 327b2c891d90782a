/** Distributions of L* of regions, as steps that can be laid over each other. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { InkDetail, RegionDetail } from '../../electron/backend/api.ts';
import type { ColoursDoubt } from '../../electron/backend/doubtAnswer.ts';
import { regionLabel } from './regionLabel.ts';
import { paperOf, type PlottedWork } from './regionPaper.ts';

export interface LightnessCurve {
  readonly region: string;
  readonly label: string;
  readonly lab: LabValue;
  /** Left edges of the bins with the share of the counted pixels per unit of L*, %; a last edge closes the last bin at 0. */
  readonly steps: readonly { readonly L: number; readonly share: number }[];
  readonly dark: LabValue;
  readonly light: LabValue;
  /** How sure the three colours are, as far as it is known. */
  readonly doubt: Pick<ColoursDoubt, 'ink' | 'dark' | 'light'>;
}

/** Width of a bin in L*: narrower ones show the scanner's noise, wider ones hide the two ends. */
export const BIN_L = 1;

/** @param ids Regions to show, in order; those without a measured distribution are left out. */
export function lightnessCurves(
  work: PlottedWork,
  details: Readonly<Record<string, RegionDetail>>,
  ids: readonly string[],
): readonly LightnessCurve[] {
  const several = new Set(ids.map((id) => paperOf(work, id))).size > 1;
  return ids.flatMap((id): LightnessCurve[] => {
    const ink = details[id]?.ink;
    if (!ink) return [];
    const steps = histogramSteps(ink.lightness, BIN_L);
    if (steps.length === 0) return [];
    const { lab, dark, light } = ink;
    const label = regionLabel(work, id, several);
    return [{ region: id, label, lab, steps, dark, light, doubt: details[id]?.doubt ?? {} }];
  });
}

/**
 * Counts gathered into bins of at least `binL`, as shares per unit of L* that add up to 100 % over L*.
 * A bin of the source that straddles a border is split in proportion.
 */
export function histogramSteps(
  { firstL, stepL, counts }: InkDetail['lightness'],
  binL: number,
): { L: number; share: number }[] {
  const total = counts.reduce((sum, n) => sum + n, 0);
  if (total === 0 || !(stepL > 0)) return [];
  const width = Math.max(binL, stepL);
  const first = Math.floor(firstL / width);
  const last = Math.ceil((firstL + stepL * counts.length) / width - 1e-9);
  const bins = Array.from({ length: last - first }, () => 0);
  counts.forEach((n, i) => {
    const from = firstL + i * stepL;
    for (let bin = Math.floor(from / width); bin * width < from + stepL - 1e-9; bin++) {
      const part = Math.min(from + stepL, (bin + 1) * width) - Math.max(from, bin * width);
      if (part > 0) bins[bin - first] += (n * part) / stepL;
    }
  });
  const filled = bins.map((n, i) => ({ L: (first + i) * width, share: (100 * n) / total / width }));
  const from = filled.findIndex(({ share }) => share > 0);
  const to = filled.findLastIndex(({ share }) => share > 0);
  return [...filled.slice(from, to + 1), { L: filled[to].L + width, share: 0 }];
}
