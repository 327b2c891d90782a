/** Places along a strip's profile that stand for something. */
import type { LabValue } from '../quantity.ts';

/** Index of the palest place: it stands for the strip's paper, of which the profile has no other. @param lab not empty */
export function palestPlace(lab: readonly LabValue[]): number {
  return lab.reduce((best, [L], i) => (L > lab[best][0] ? i : best), 0);
}

/** Index of the place nearest to so many mm. @param placesMm not empty */
export function placeNearest(placesMm: readonly number[], atMm: number): number {
  return placesMm.reduce((best, mm, i) => (Math.abs(mm - atMm) < Math.abs(placesMm[best] - atMm) ? i : best), 0);
}
