/** The difference of two pinned colours, with what their uncertainties make of it. */
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { LabValue } from '../../analysis/quantity.ts';

export interface PinReading {
  readonly lab: LabValue;
  /** Standard uncertainty per component; null: not calibrated. */
  readonly u: LabValue | null;
}

/**
 * ΔE00 and its standard uncertainty, by first order from both colours as if they were independent. Where the colours all but agree
 * ΔE00 has a corner and the first order would say nothing, so the slope is taken over one standard uncertainty.
 */
export function pinDifference(p: PinReading, q: PinReading): { readonly value: number; readonly u: number | null } {
  const value = difference(p.lab, q.lab);
  if (!p.u || !q.u) return { value, u: null };
  return { value, u: Math.hypot(...parts(p.lab, p.u, q.lab), ...parts(q.lab, q.u, p.lab)) };
}

/** How far one standard uncertainty of each component moves the difference, both ways averaged. */
function parts(lab: LabValue, u: LabValue, other: LabValue): number[] {
  const own = difference(lab, other);
  return [0, 1, 2].map((c) => {
    const up = difference(shifted(lab, c, u[c]), other);
    const down = difference(shifted(lab, c, -u[c]), other);
    return (Math.abs(up - own) + Math.abs(down - own)) / 2;
  });
}

function shifted([L, a, b]: LabValue, component: number, by: number): LabValue {
  return [component === 0 ? L + by : L, component === 1 ? a + by : a, component === 2 ? b + by : b];
}

function difference(p: LabValue, q: LabValue): number {
  return deltaE2000(labD50(...p), labD50(...q));
}
