/** A band that a fit passes by: its crown stands there as it was measured, and no component is on it. */
import type { Component, FitData, FitLimits } from './bandFit.ts';

/** A crown is passed by when at least this share of it is left over, and when that is at least this share of the highest place of the run. */
const LEAST = { ofItself: 0.5, ofHighest: 0.1 } as const;
/** A band reaches as far as it is higher than this share of its crown. */
const FOOT = 0.1;
/** ln(1 + distortion) to begin with: a steep front, from which the search finds a bell as soon as a triangle. */
const STEEP = -2.5;

/**
 * Curvature (candidates.ts) finds no band whose front falls to bare paper within a bin or two: it points at the foot of the front, where the quiet paper
 * makes it significant, and a Gaussian set on the crown would reach over the front to where plainly nothing is, so that the heights that suit best are none.
 * What is left over most is told by its own moments, as a band that fills its paper up.
 * @param fitted planar, like the data. @returns null: no crown of this fit is passed by
 */
export function passedBy(data: FitData, fitted: Float64Array, limits: FitLimits): Component | null {
  const { binMm, firstMm } = data;
  const left = lengths(
    data,
    data.density.map((v, i) => v - fitted[i]),
  );
  const whole = lengths(data, data.density);
  const from = Math.max(0, Math.ceil((limits.originMm + limits.originReachMm - firstMm) / binMm));
  const to = Math.min(data.bins - 1, Math.floor((limits.frontMm - firstMm) / binMm));
  let [top, highest] = [from, 0];
  for (let i = from; i <= to; i++) {
    if (left[i] > left[top]) top = i;
    highest = Math.max(highest, whole[i]);
  }
  const isPassedBy = to > from && left[top] > Math.max(LEAST.ofItself * whole[top], LEAST.ofHighest * highest);
  if (!isPassedBy) return null;
  let [a, b] = [top, top];
  while (a > from && left[a - 1] > FOOT * left[top]) a--;
  while (b < to && left[b + 1] > FOOT * left[top]) b++;
  let [amount, first, second] = [0, 0, 0];
  for (let i = a; i <= b; i++) {
    const mm = firstMm + i * binMm;
    amount += left[i];
    first += left[i] * mm;
    second += left[i] * mm * mm;
  }
  const meanMm = first / amount;
  const sdMm = Math.sqrt(Math.max(binMm ** 2, second / amount - meanMm ** 2));
  return { kind: 'band', tail: 'overloaded', drag: STEEP, delay: 0, meanMm, sdMm, heights: [0, 0, 0] };
}

/** By bin, of the three densities above nothing. */
function lengths({ bins }: FitData, planar: Float64Array): Float64Array {
  const above = (i: number): number => Math.max(0, planar[i]);
  return Float64Array.from({ length: bins }, (_, i) => Math.hypot(above(i), above(bins + i), above(2 * bins + i)));
}
