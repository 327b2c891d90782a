/** The colour of a scan's overlay lines: as far as may be from the inks and papers measured on it. */
import { lineColourFar } from '../../../analysis/colour/lineColour.ts';
import type { LabValue } from '../../../analysis/quantity.ts';
import type { SheetRegion, TracedFinding } from '../../../electron/backend/api.ts';
import { isLab } from '../arrange/bench.ts';

/** Before anything is measured: white paper and a dark ink. */
const UNKNOWN: readonly LabValue[] = [
  [95, 0, 0],
  [25, 0, 0],
];

export function lineColourOn(
  scan: string,
  regions: readonly Pick<SheetRegion, 'id' | 'scan'>[],
  findings: readonly TracedFinding[],
): LabValue {
  const on = new Set(regions.filter((region) => region.scan === scan).map(({ id }) => id));
  const under = findings.flatMap(({ finding: { quantity, subject, value } }): LabValue[] => {
    const own = subject.regions.length === 1 && on.has(subject.regions[0]);
    const colour = quantity === 'inkColour' || quantity === 'paperColour' || quantity === 'bandColour';
    return own && colour && isLab(value) ? [value] : [];
  });
  return lineColourFar(under.length === 0 ? UNKNOWN : under);
}
