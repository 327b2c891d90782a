/** Which way a strip ran, by what its two ends look like where nobody says where they are. */
import { seeStrip, type Lying, type SeenStrip } from './seeStrip.ts';
import type { StripOptions, Travel } from './strip.ts';

/** Points by which one way must look likelier than the other to be sure. */
export const SURELY_ONE_WAY = 0.8;
/** Beside a line, mm, a spot's colour is sought; a front's line is of paper's own brown. */
const SPOT_MM = 2.5;
const SPOT_DENSITY = 0.03;

/** How much a strip looks as if it ran the way that it was seen along, in points. */
export function likelihoodOfWay({ ends, line, profile, density }: SeenStrip): number {
  const { originMm, frontMm } = ends;
  const { bins, firstMm, binMm } = profile;
  const total = (fromMm: number, toMm: number, c: number): number => {
    let sum = 0;
    const [from, to] = [fromMm, toMm].map((mm) => Math.min(bins, Math.max(0, Math.round((mm - firstMm) / binMm))));
    for (let i = c * bins + from; i < c * bins + to; i++) sum += Math.max(0, density[i]);
    return sum * binMm;
  };
  const all = (fromMm: number, toMm: number): number => [0, 1, 2].reduce((sum, c) => sum + total(fromMm, toMm, c), 0);
  const last = firstMm + bins * binMm;
  let score = 0;
  if (originMm !== null) score += 0.3;
  if (frontMm !== null) score += 0.3;
  // What is drawn at the origin is grey and dark; what liquid leaves at the front is brown, or a short tick.
  const at = (mm: number | null): number => (mm === null ? 0 : markBlueness(line, bins, (mm - firstMm) / binMm));
  score += Math.max(-0.6, Math.min(0.6, 2 * (at(frontMm) - at(originMm))));
  const marks = (mm: number | null): number =>
    mm === null
      ? 0
      : Math.max(0, ...line.marks.filter((m) => Math.abs(firstMm + m.centre * binMm - mm) < 1).map((m) => m.strength));
  if (marks(originMm) > 1.5 * marks(frontMm)) score += 0.5;
  if (originMm !== null) {
    const spot = all(originMm - SPOT_MM, originMm + SPOT_MM) / (2 * SPOT_MM);
    if (spot > SPOT_DENSITY) score += 0.4;
    // Behind the origin there is nothing.
    score -= Math.min(0.8, (3 * all(firstMm, originMm - SPOT_MM)) / Math.max(1e-6, all(firstMm, last)));
  }
  if (frontMm !== null) score -= Math.min(0.8, (3 * all(frontMm + 1, last)) / Math.max(1e-6, all(firstMm, last)));
  return score;
}

/** How much more a line holds in the channel of short waves than in that of long ones, −1..1: brown is above 0, graphite about 0. */
function markBlueness({ marks, markDensity }: SeenStrip['line'], bins: number, bin: number): number {
  const mark = marks.find(({ from, to }) => bin >= from - 2 && bin < to + 2);
  if (mark === undefined) return 0;
  const sum = (c: number): number => {
    let total = 0;
    for (let i = c * bins + mark.from; i < c * bins + mark.to; i++) total += markDensity[i];
    return total;
  };
  const [red, blue] = [sum(0), sum(2)];
  return (blue - red) / Math.max(1e-9, blue + red);
}

const OPPOSITE: Record<Travel, Travel> = { up: 'down', down: 'up', left: 'right', right: 'left' };

/** Both ends were left to be found, and seen the other way they look surely likelier. @param seen the same input, seen the way that was told */
export function ranOtherWay(input: Lying, seen: SeenStrip, options: Required<StripOptions>): boolean {
  if (input.originMm !== null || input.frontMm !== null || seen.nothingSeen) return false;
  const turned = seeStrip({ ...input, travel: OPPOSITE[seen.travel] }, options);
  return turned !== null && likelihoodOfWay(turned) - likelihoodOfWay(seen) >= SURELY_ONE_WAY;
}
