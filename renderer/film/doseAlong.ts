/** Along the doses of a fitted ink: one scale for all its papers, and the colour that a dose has on each of them. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { FilmCurve } from '../../electron/backend/filmAnswer.ts';

/** Doses of all papers, palest to densest; relative to the median dose that was measured. */
export interface DoseScale {
  readonly from: number;
  readonly to: number;
}

/** Null: no curve holds two doses. */
export function doseScale(curves: readonly FilmCurve[]): DoseScale | null {
  const doses = curves.flatMap((curve) => curve.doses).filter((dose) => dose > 0);
  if (doses.length === 0) return null;
  const scale = { from: Math.min(...doses), to: Math.max(...doses) };
  return scale.to > scale.from ? scale : null;
}

/** 0 at the palest, 1 at the densest. Logarithmic: twice the ink is the same step anywhere, as the eye has it. */
export function shareOf({ from, to }: DoseScale, dose: number): number {
  return Math.min(1, Math.max(0, Math.log(dose / from) / Math.log(to / from)));
}

export function doseAt({ from, to }: DoseScale, share: number): number {
  return from * (to / from) ** share;
}

export interface ColourAtDose {
  readonly lab: LabValue;
  /** Standard uncertainty per component. */
  readonly u: LabValue;
  /** False: no ink so pale or so dense was measured on this paper. */
  readonly seen: boolean;
}

/** Between the curve's points in the logarithm of dose; null beyond its ends. */
export function colourAt(curve: FilmCurve, dose: number): ColourAtDose | null {
  const { doses, lab, u, seen } = curve;
  const slack = 1 + 1e-9;
  const last = doses.length - 1;
  if (last < 0 || dose * slack < doses[0] || dose > doses[last] * slack) return null;
  const above = doses.findIndex((d) => d >= dose);
  const to = above < 0 ? last : Math.max(above, Math.min(1, last));
  const from = Math.max(0, to - 1);
  const span = Math.log(doses[to] / doses[from]);
  const share = span > 0 ? Math.min(1, Math.max(0, Math.log(dose / doses[from]) / span)) : 0;
  return {
    lab: between(lab[from], lab[to], share),
    u: between(u[from], u[to], share),
    seen: isSeen(seen, dose),
  };
}

export function isSeen([from, to]: FilmCurve['seen'], dose: number): boolean {
  const slack = 1 + 1e-9;
  return dose * slack >= from && dose <= to * slack;
}

export function between(a: LabValue, b: LabValue, share: number): LabValue {
  const one = (i: 0 | 1 | 2): number => a[i] + share * (b[i] - a[i]);
  return [one(0), one(1), one(2)];
}
