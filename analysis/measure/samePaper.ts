/** One paper on several scans: where it reads otherwise on one of them, that scan was not made as its target was. */
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, labD50 } from '../colour/lab.ts';
import { median } from '../quantile.ts';
import { triple } from '../triple.ts';

export interface PaperReading {
  readonly key: string;
  /** Of the bare paper, through its scan's target. */
  readonly lab: LabD50;
  /** The same for scans that one target serves. */
  readonly target: string;
  /** Its target lies in the same scan, so that no setting can have changed between them. */
  readonly besideTarget: boolean;
}

/**
 * ΔE00 that sheets of one name may read apart: through one target, where sheets of one pad (0.5) and the light over the bed (2.5 % of it at worst, 0.9)
 * make all of it; through two, where each scanner's own error comes to it, most where paper is brightened. Common practice, no source.
 */
const MOST_APART = { oneTarget: 2, twoTargets: 4 } as const;

/** @returns keys of those that read otherwise; of two that nothing tells apart both */
export function readOtherwise(readings: readonly PaperReading[]): string[] {
  const sure = readings.filter(({ besideTarget }) => besideTarget);
  const judges = sure.length > 0 ? sure : readings;
  const middle = labD50(...triple((c) => median(judges.map(({ lab }) => lab[c]))));
  const isApart = ({ lab, target }: PaperReading, from: LabD50, targets: readonly string[]): boolean =>
    deltaE2000(lab, from) > (targets.every((one) => one === target) ? MOST_APART.oneTarget : MOST_APART.twoTargets);
  if (sure.length === 0 && readings.length === 2) {
    const [a, b] = readings;
    return isApart(a, b.lab, [b.target]) ? [a.key, b.key] : [];
  }
  const targets = judges.map(({ target }) => target);
  return readings.filter((one) => !one.besideTarget && isApart(one, middle, targets)).map(({ key }) => key);
}
