/** What can be wrong with a strip: colour beyond the box, an origin that stood in the liquid, a shadow over it. */
import { valueAbove } from '../../quantile.ts';
import type { StripProfile } from './profile.ts';

/** Light that changes within millimetres along the run. */
export interface Shadow {
  /** Density by which light is less, a bin, as little as 0. */
  readonly shade: Float64Array;
}

/** Levels are compared this far on either side of a place, mm, leaving the change itself out. */
const NEAR_MM = 1.5;
const FAR_MM = 6;
/** Light that changes by this much (log10) from one side to the other is a shadow's edge: a scanner's falls slower by an order. */
const LEAST_SHADE = 0.03;
/** The three channels of a shadow change alike, within this share. */
const GREY = 0.4;
/** A shadow lies on lane and paper alike, within this share of it. */
const ALIKE = 0.4;

/**
 * The plainest shadow across the strip, as what has to be divided out of every signal; null: none. Where no bare paper is seen, colour may
 * look like one: there the lane's own step is asked too.
 */
export function findShadow(profile: StripProfile): Shadow | null {
  const { bins, binMm, side, edge, lane } = profile;
  const paper = side ?? edge;
  const log = (planar: Float64Array, c: number): Float64Array =>
    planar.slice(c * bins, (c + 1) * bins).map((v) => -Math.log10(Math.max(1e-4, v)));
  const channels = [0, 1, 2].map((c) => log(paper, c));
  const ownLane = [0, 1, 2].map((c) => log(lane, c));
  let best: { at: number; size: number } | null = null;
  const reach = Math.round(FAR_MM / binMm);
  for (let i = reach; i < bins - reach; i++) {
    const steps = channels.map((values) => stepAt(values, i, binMm));
    const size = (steps[0] + steps[1] + steps[2]) / 3;
    if (Math.abs(size) < Math.max(LEAST_SHADE, Math.abs(best?.size ?? 0))) continue;
    if (steps.some((s) => Math.abs(s - size) > GREY * Math.abs(size))) continue;
    if (side === null && ownLane.some((values) => Math.abs(stepAt(values, i, binMm) - size) > ALIKE * Math.abs(size)))
      continue;
    best = { at: i, size };
  }
  return best && { shade: shadeOf(channels, best.at, binMm) };
}

function stepAt(values: Float64Array, i: number, binMm: number): number {
  const [near, far] = [Math.round(NEAR_MM / binMm), Math.round(FAR_MM / binMm)];
  return median(values.subarray(i + near, i + far + 1)) - median(values.subarray(i - far, i - near + 1));
}

/** The change itself, smoothed a little; level on either side, and nothing but the change. */
function shadeOf(channels: readonly Float64Array[], at: number, binMm: number): Float64Array {
  const grey = channels[0].map((v, i) => (v + channels[1][i] + channels[2][i]) / 3);
  const [near, far] = [Math.round(NEAR_MM / binMm), Math.round(FAR_MM / binMm)];
  const before = median(grey.subarray(at - far, at - near + 1));
  const after = median(grey.subarray(at + near, at + far + 1));
  const [low, high] = [Math.min(before, after), Math.max(before, after)];
  const shade = grey.map((_, i) => {
    if (i < at - 2 * near) return before;
    if (i > at + 2 * near) return after;
    return Math.min(high, Math.max(low, median(grey.subarray(Math.max(0, i - 1), i + 2))));
  });
  return shade.map((v) => v - low);
}

/** Every signal as it would be without the shadow. */
export function unshaded(profile: StripProfile, { shade }: Shadow): StripProfile {
  const { bins } = profile;
  const lit = (planar: Float64Array): Float64Array => planar.map((v, k) => v * 10 ** shade[k % bins]);
  return {
    ...profile,
    lane: lit(profile.lane),
    edge: lit(profile.edge),
    margins: [lit(profile.margins[0]), lit(profile.margins[1])],
    side: profile.side === null ? null : lit(profile.side),
  };
}

/** A run's colour goes on to the end of what is seen: density at the last millimetres, against the most of the lane. */
const AT_END_MM = 2;
const LEAST_AT_END = 0.03;
const SHARE_AT_END = 0.08;

/** @param density Planar: three channels of `bins` */
export function colouredAtEnd(density: Float64Array, bins: number, binMm: number, noise: number): boolean {
  const all = summed(density, bins);
  const last = median(all.subarray(bins - Math.max(2, Math.round(AT_END_MM / binMm)), bins));
  const most = valueAbove(all, 0.98);
  return last > Math.max(LEAST_AT_END, SHARE_AT_END * most, 8 * noise);
}

/** A spot reaches no further than this to the liquid's side, mm; colour beyond it has come the other way. */
const SPOT_REACH_MM = 3.5;
/** Share of all the lane's colour. */
const LEAST_SHARE_BELOW = 0.03;

/** Colour between the liquid and the origin, more than noise and more than a little of all. */
export function colouredBelowOrigin(
  density: Float64Array,
  { bins, firstMm, binMm }: { readonly bins: number; readonly firstMm: number; readonly binMm: number },
  originMm: number,
  noise: number,
): boolean {
  const all = summed(density, bins);
  const end = Math.round((originMm - SPOT_REACH_MM - firstMm) / binMm);
  if (end < 4) return false;
  const below = all.subarray(0, end);
  const whole = all.reduce((sum, v) => sum + Math.max(0, v), 0);
  const there = below.reduce((sum, v) => sum + v, 0);
  const sigma = noise * Math.sqrt(end);
  return there > Math.max(6 * sigma, LEAST_SHARE_BELOW * whole) && valueAbove(below, 0.9) > LEAST_AT_END;
}

function summed(planar: Float64Array, bins: number): Float64Array {
  return Float64Array.from({ length: bins }, (_, i) => planar[i] + planar[bins + i] + planar[2 * bins + i]);
}

function median(values: Float64Array): number {
  return valueAbove(values, 0.5);
}
