/** What lies across the edges of a region: one step from paper to ink, or a ring between them; and how sure that is. */
import type { Ink } from '../../locate/inkMask.ts';
import { triple } from '../../triple.ts';

import { type CountedEdges, type MeanProfile, meanProfile, meansOf } from './meanProfile.ts';
import { normalSum } from '../../normalCurve.ts';
import { jackknife } from '../../scatter.ts';
import {
  BY_CHANNELS,
  BY_CONTRAST,
  type FitData,
  fitData,
  fitOneStep,
  fittedValues,
  fitTwoSteps,
  type ProfileFit,
} from './profileFit.ts';
import type { TiledSpline } from '../../raster/tiledSpline.ts';

export interface Across {
  readonly profile: MeanProfile;
  readonly data: FitData;
  readonly fit: ProfileFit;
  /** Sigma of the ink's edge as scanned, px. */
  readonly sigmaPx: number;
  /** Its standard deviation between parts of the edges. */
  readonly uSigmaPx: number;
  /** Contrast of the ring, over which the ink's edge is read; 0 without a ring. */
  readonly ground: number;
  /** What is to be added to an edge's distance from the middle: how far the level lies from the step of the fit, px. */
  readonly shiftPx: number;
  readonly ring: RingFit | null;
}

export interface RingReading {
  readonly widthPx: number;
  /** Ratio to paper, per channel. */
  readonly ratio: readonly [number, number, number];
}

export interface RingFit extends RingReading {
  /** The same fitted to all but one part of the edges each. */
  readonly parts: readonly RingReading[];
  /** … with one blur for both its edges: the less a ring's width and its level are told apart, the further off. */
  readonly oneBlur: RingReading;
  /** … where rings of other strokes reach into it. */
  readonly crowded: RingReading;
  /** Whether it was seen where they do not. */
  readonly isApart: boolean;
}

/** A ring must explain what one step does not: the misfit's root, as a share of the step's height, by the largest channel. */
const UNEXPLAINED = 0.007;
/** … two steps must leave this share of it at most … */
const EXPLAINED = 0.5;
/**
 * … or a third as much, where two steps leave hardly any of it: a ring beside dark ink that takes no more than this share of its contrast. One half as
 * dark as the ink that shows so little is two edges of one line laid over each other, as where a page was turned by its pixels …
 */
const FAINT = { unexplained: 0.0025, explained: 0.2, most: 0.35 } as const;
/** … its colour differ from paper by so much in one channel at least, and by so many standard deviations … */
const LEAST_STEP = 0.012;
const LEAST_SIGMAS = 4;
/** … and a ring thinner than this share of the blur is the blur's own shape. */
const LEAST_SIGMA_SHARE = 0.9;
/** Each start is followed only so far (relative difference of costs), the best of them to its end. */
const ROUGHLY = 1e-3;
const STARTS_MM = [0.1, 0.2, 0.4] as const;
/** The fit looks so far out, mm, and inwards this many sigma and a pixel. */
const FIT_OUTSIDE_MM = 0.95;
const FIT_INSIDE_SIGMAS = 3.2;
/** A ring's outer edge is looked at this many sigma apart from what other ink is as near to, as far as this share of the edges reach … */
const APART_SIGMAS = 2;
const APART_REACH = 0.1;
/** … which must see paper over so many sigma. */
const PAPER_SIGMAS = 3;

/** What a mean profile over all edges shows. @param sigmaPx Sigma of the blur. @returns null where no edge can be averaged */
export function acrossOf(
  spline: TiledSpline,
  ink: Ink,
  strokes: readonly CountedEdges[],
  pxPerMm: number,
  sigmaPx: number,
): Across | null {
  const profile = meanProfile(spline, ink, strokes, pxPerMm);
  if (profile === null) return null;
  const inside = Math.min(0.5 * profile.lineWidthPx, FIT_INSIDE_SIGMAS * sigmaPx + 1);
  const dataOf = (means: Pick<MeanProfile, 'channels' | 'contrast' | 'counts'>, fitted: readonly number[]) =>
    fitData({ ...profile, ...means }, fitted, FIT_OUTSIDE_MM * pxPerMm, inside);
  const data = dataOf(profile, BY_CHANNELS);
  const one = fitOneStep(data, [0, sigmaPx]);
  const height = Math.max(...BY_CHANNELS.map((c) => rangeOf(data.values[c])));
  const parts = profile.groups.map((_, g) => meansOf(profile, g)).filter((m) => m.counts.some((c) => c > 0));
  let ring: RingFit | null = null;
  let fit = one;
  const unexplained = Math.sqrt(one.misfit / 3) / height;
  if (unexplained > FAINT.unexplained) {
    const left = (unexplained > UNEXPLAINED ? EXPLAINED : FAINT.explained) ** 2 * one.misfit;
    const rough = STARTS_MM.map((mm) => fitTwoSteps(data, [0.1, sigmaPx, mm * pxPerMm, sigmaPx], ROUGHLY)).toSorted(
      (a, b) => a.misfit - b.misfit,
    )[0];
    if (rough.misfit < 1.1 * left) {
      const { edgePx, sigmaPx: sigma, ringPx, ringSigmaPx } = rough;
      const two = fitTwoSteps(data, [edgePx, sigma, edgePx - ringPx!, ringSigmaPx]);
      if (two.misfit < left && isShown(unexplained, two.ring![3] / two.ink[3])) ring = ringOf(two);
      if (ring) fit = two;
    }
  }
  // The contrast is read by the sharper interpolation: its own blur is told from it alone.
  const start = [fit.edgePx, fit.sigmaPx] as const;
  const sigmaOf = (some: FitData) =>
    fit.ringPx === null
      ? fitOneStep(some, start).sigmaPx
      : fitTwoSteps(some, [...start, fit.edgePx - fit.ringPx, fit.ringSigmaPx]).sigmaPx;
  const sigma = sigmaOf({ ...data, fitted: BY_CONTRAST });
  const few = parts.filter((_, g) => g % 3 === 0);
  const sigmas = few.map((means) => sigmaOf(dataOf(means, BY_CONTRAST)));
  const ground = fit.ring === null ? 0 : fit.ring[3];
  return {
    profile,
    data,
    fit,
    sigmaPx: sigma,
    uSigmaPx: Math.sqrt(3) * jackknife(sigmas),
    ground,
    shiftPx: fit.ring === null ? 0 : -(fit.edgePx - levelPlace(fit)),
    ring,
  };

  function ringOf(two: ProfileFit): RingFit | null {
    const step = [0, 1, 2].map((c) => two.paper[c] - two.ring![c]);
    const largest = step.reduce((best, s, c) => (Math.abs(s) > Math.abs(step[best]) ? c : best), 0);
    if (!isRing(two) || Math.abs(step[largest]) < LEAST_STEP) return null;
    const fits = parts.map((means) => fitTwoSteps(dataOf(means, BY_CHANNELS), startOf(two)));
    const steps = fits.map((f) => f.paper[largest] - f.ring![largest]);
    if (Math.abs(step[largest]) < LEAST_SIGMAS * jackknife(steps)) return null;
    const crowded = readingOf(two);
    return ringApart(two, crowded) ?? { ...ringFrom(two, data, fits), crowded, isApart: false };
  }

  /** The same ring where only its own edge's ink is near; null where too little of that is seen. */
  function ringApart(two: ProfileFit, crowded: RingReading): RingFit | null {
    const own = meanProfile(spline, ink, strokes, pxPerMm, APART_SIGMAS * sigmaPx);
    if (own === null) return null;
    const ownData = (means: Pick<MeanProfile, 'channels' | 'contrast' | 'counts'>) =>
      fitData({ ...own, ...means }, BY_CHANNELS, FIT_OUTSIDE_MM * pxPerMm, inside, APART_REACH);
    const seen = ownData(own);
    if (seen.at.length === 0 || seen.at[0] > two.ringPx! - PAPER_SIGMAS * two.ringSigmaPx) return null;
    const apart = fitTwoSteps(seen, startOf(two));
    if (!isRing(apart)) return null;
    const groups = own.groups.map((_, g) => meansOf(own, g)).filter((m) => m.counts.some((c) => c > 0));
    const fits = groups.map((means) => fitTwoSteps(ownData(means), startOf(apart)));
    return { ...ringFrom(apart, seen, fits), crowded, isApart: true };
  }
}

/** @param unexplained root of what one step leaves, over its height @param level the ring's contrast over the ink's */
export function isShown(unexplained: number, level: number): boolean {
  return unexplained > UNEXPLAINED || level <= FAINT.most;
}

/** Wider than the blur alone could look; a ring paler than paper is what a scanner's sharpening leaves; one as dark as the ink is the ink. */
function isRing({ paper, ring, ink, edgePx, ringPx, sigmaPx }: ProfileFit): boolean {
  if (edgePx - ringPx! < LEAST_SIGMA_SHARE * sigmaPx) return false;
  const step = [0, 1, 2].reduce((sum, c) => sum + paper[c] - ring![c], 0);
  return step >= 0 && ring![3] <= 0.85 * ink[3];
}

function startOf({ edgePx, sigmaPx, ringPx, ringSigmaPx }: ProfileFit): readonly [number, number, number, number] {
  return [edgePx, sigmaPx, edgePx - ringPx!, ringSigmaPx];
}

function readingOf({ paper, ring, edgePx, ringPx }: ProfileFit): RingReading {
  return { widthPx: edgePx - ringPx!, ratio: triple((c) => ring![c] / paper[c]) };
}

function ringFrom(fit: ProfileFit, data: FitData, fits: readonly ProfileFit[]): Omit<RingFit, 'crowded' | 'isApart'> {
  const oneBlur = readingOf(fitTwoSteps(data, startOf(fit), undefined, true));
  return { ...readingOf(fit), parts: fits.map(readingOf), oneBlur };
}

/** Where the two-step model falls through the level that edges beside a ring are read at, px from the first crossing. */
function levelPlace(fit: ProfileFit): number {
  const ground = fit.ring![3];
  const level = ground + 0.5 * (fit.ink[3] - ground);
  const value = (d: number) =>
    fit.paper[3] +
    (ground - fit.paper[3]) * normalSum((d - fit.ringPx!) / fit.ringSigmaPx) +
    (fit.ink[3] - ground) * normalSum((d - fit.edgePx) / fit.sigmaPx);
  let low = fit.edgePx - 3 * fit.sigmaPx;
  let high = fit.edgePx + 3 * fit.sigmaPx;
  for (let round = 0; round < 40; round++) {
    const middle = (low + high) / 2;
    if (value(middle) < level) low = middle;
    else high = middle;
  }
  return low;
}

/** The model across the whole profile, contrast over the ink's own: for a plot. */
export function fittedContrast(across: Across): { readonly at: ArrayLike<number>; readonly values: readonly number[] } {
  return { at: across.data.at, values: fittedValues(across.data, across.fit, 3) };
}

function rangeOf(values: Float64Array): number {
  let [least, most] = [Infinity, -Infinity];
  for (const v of values) {
    least = Math.min(least, v);
    most = Math.max(most, v);
  }
  return most - least;
}
