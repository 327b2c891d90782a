/** The difference of two pinned colours, with what their uncertainties make of it. */
import { sharedDifference } from '../../analysis/calibrate/sharedDoubt.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Probe } from '../../electron/backend/probeAnswer.ts';

export interface PinReading extends Pick<Probe, 'lab' | 'u' | 'noise' | 'shared' | 'key'> {
  readonly scan: string;
}

/**
 * ΔE00 and its standard uncertainty. Through one calibration both colours share its error, which is counted as for two samples of an
 * ink (differenceUncertainty), beside each place's own noise; through two as if the colours were independent.
 */
export function pinDifference(p: PinReading, q: PinReading): { readonly value: number; readonly u: number | null } {
  const value = difference(p.lab, q.lab);
  if (!p.u || !q.u) return { value, u: null };
  if (p.key !== q.key) return { value, u: independently(p.lab, p.u, q.lab, q.u) };
  const calibration = sharedDifference(value, p.shared, q.shared, p.scan === q.scan ? 'one paper' : 'two papers');
  return { value, u: Math.hypot(calibration, independently(p.lab, p.noise, q.lab, q.noise)) };
}

/**
 * By first order from both colours. Where they all but agree ΔE00 has a corner and the first order would say nothing, so the slope is
 * taken over one standard uncertainty.
 */
function independently(p: LabValue, up: LabValue, q: LabValue, uq: LabValue): number {
  return Math.hypot(...parts(p, up, q), ...parts(q, uq, p));
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
