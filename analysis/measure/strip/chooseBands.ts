/** How many bands: candidates are taken in and thrown out again by what they gain against what a parameter must earn (BIC). */
import { angleBetween } from './bands.ts';
import { candidates, type Candidate } from './candidates.ts';
import {
  fitBands,
  SEARCHED,
  squaredSigmas,
  type BandFit,
  type Component,
  type FitData,
  type FitLimits,
} from './bandFit.ts';
import { passedBy } from './passedBy.ts';

/** No tail. */
const GAUSSIAN = { tail: 'none', drag: 0, delay: 0 } as const;
/** Steps of the search: to compare starts, to judge a small change, else in full. */
const QUICK_LOOK = 4;
const SHORT_FIT = 10;
/** Neighbours that may be one band: their colours, and how far apart by their deviations. */
const ALIKE_RAD = 0.35;
const REACH_SD = 2;
/** A candidate so near to a band set by hand is that band, mm. */
const TWICE_SEEN_MM = 1.2;

export interface ChooseOptions {
  /** No more components than this. @default 9 */
  readonly mostBands: number;
  /** Bands that a person set, mm along the run: they stay in. @default none */
  readonly pinsMm?: readonly number[];
}

/**
 * Schwarz (1978), Ann. Stat. 6, 461–464, with known noise: χ² + k·ln(n), n the number of independent values.
 * Each band costs its place, width and three heights (and its tail).
 */
export function bic(fit: BandFit, independent: number): number {
  const parameters = fit.components.reduce(
    (sum, c) => sum + SEARCHED[c.tail] + c.heights.filter((h) => h > 0).length,
    0,
  );
  return fit.chi2 + parameters * Math.log(independent);
}

/** What plainly is a band, without a tail: where the search goes on from. */
export function firstBands(data: FitData, limits: FitLimits, correlatedBins: number, options: ChooseOptions): BandFit {
  const independent = independentValues(data, correlatedBins);
  const score = (fit: BandFit): number => bic(fit, independent);
  const origin = newComponent('origin', limits.originMm, 0.8);
  const strong = candidates(data, data.density).filter((c) => inRun(c, limits) && c.significance > 6);
  const pins = (options.pinsMm ?? []).map((mm): Component => ({ ...newComponent('band', mm, 1.2), pinMm: mm }));
  const unpinned = strong.filter((c) => pins.every((p) => Math.abs(p.meanMm - c.placeMm) > TWICE_SEEN_MM));
  const first = [...pins, ...unpinned.slice(0, options.mostBands).map((c) => newComponent('band', c.placeMm, c.sdMm))];
  return withTwoAtOrigin(data, fitBands(data, [origin, ...first], limits), limits, score);
}

/** How well so many bands can explain these data at most, as Schwarz's score: all at once may have tails. */
export function scoreWithTails(first: BandFit, data: FitData, limits: FitLimits, correlatedBins: number): number {
  const independent = independentValues(data, correlatedBins);
  const all = first.components.map((c): Component =>
    c.kind === 'origin' ? c : { ...c, tail: 'overloaded', drag: -0.7 },
  );
  return Math.min(bic(first, independent), bic(fitBands(data, all, limits, SHORT_FIT), independent));
}

/** @param first of these data, by `firstBands`. */
export function chooseBands(
  first: BandFit,
  data: FitData,
  limits: FitLimits,
  correlatedBins: number,
  options: ChooseOptions,
): BandFit {
  const independent = independentValues(data, correlatedBins);
  const score = (fit: BandFit): number => bic(fit, independent);
  const least = Math.log(independent);
  let best = withTails(data, withoutIdle(data, first, limits, score), limits, least, score);
  best = withoutIdle(data, withJoined(data, best, limits, score), limits, score);
  for (let round = 0; round < 12; round++) {
    const next = best.components.length <= options.mostBands ? bestAddition(data, best, limits, score) : null;
    if (next === null) break;
    best = withoutIdle(data, withTails(data, next, limits, least, score), limits, score);
  }
  return withJoined(data, best, limits, score);
}

/** Schwarz's score of a fit: the lower, the better. */
export function scoreOf(fit: BandFit, data: FitData, correlatedBins: number): number {
  return bic(fit, independentValues(data, correlatedBins));
}

function independentValues(data: FitData, correlatedBins: number): number {
  return Math.max(3, (3 * data.bins) / correlatedBins);
}

function inRun(c: Candidate, limits: FitLimits): boolean {
  return c.placeMm > limits.originMm + 0.8 && c.placeMm < limits.frontMm + 0.5;
}

/**
 * Where what stayed at the origin does not rise out of the noise, a free spot would seek out the darkest of the paper's own clouds: then one
 * small spot on the line takes its place.
 * @param atLine components of the fit that are the origin's.
 */
export function withFaintOrigin(fit: BandFit, atLine: readonly Component[], data: FitData, limits: FitLimits): BandFit {
  const bands = fit.components.filter((c) => c.kind !== 'origin' && !atLine.includes(c));
  return fitBands(data, [{ ...newComponent('origin', limits.originMm, 0.8), faint: true }, ...bands], limits);
}

function newComponent(kind: Component['kind'], meanMm: number, sdMm: number): Component {
  return { kind, ...GAUSSIAN, meanMm, sdMm, heights: [0, 0, 0] };
}

/** A drop's spot has a flat top and steep flanks, a pen's line is a bell: two halves side by side serve for the first. */
function withTwoAtOrigin(data: FitData, fit: BandFit, limits: FitLimits, score: (fit: BandFit) => number): BandFit {
  const next = fitBands(data, halved(fit.components, fit.components[0]), limits);
  return score(next) < score(fit) ? next : fit;
}

/** The best single band more, from what the fit left over; null when none earns its parameters. */
function bestAddition(data: FitData, fit: BandFit, limits: FitLimits, score: (fit: BandFit) => number): BandFit | null {
  const rest = data.density.map((v, i) => v - fit.fitted[i]);
  const tries = candidates(data, rest).filter((c) => inRun(c, limits) && c.significance > 2.5);
  const starts = tries.slice(0, 3).map((c) => [...fit.components, newComponent('band', c.placeMm, c.sdMm)]);
  const worst = worstExplained(data, fit);
  if (worst !== null) starts.push(halved(fit.components, worst));
  const missed = passedBy(data, fit.fitted, limits);
  if (missed !== null) starts.push([...fit.components, missed]);
  // A short look tells which start is worth a full fit.
  const looked = starts
    .map((start) => fitBands(data, start, limits, QUICK_LOOK))
    .toSorted((a, b) => score(a) - score(b));
  for (const quick of looked.slice(0, 2)) {
    const next = fitBands(data, quick.components, limits);
    if (score(next) < score(fit)) return next;
  }
  return null;
}

/** The component around whose crown the fit misses the data most. */
function worstExplained(data: FitData, fit: BandFit): Component | null {
  let worst: Component | null = null;
  let most = 0;
  for (const c of fit.components) {
    let misses = 0;
    let seen = 0;
    for (let i = 0; i < data.bins; i++) {
      if (Math.abs(data.firstMm + i * data.binMm - c.meanMm) > 1.5 * c.sdMm) continue;
      misses += misfitAt(data, fit.fitted, i);
      seen += 3;
    }
    if (misses - seen > most) {
      most = misses - seen;
      worst = c;
    }
  }
  return worst;
}

function halved(components: readonly Component[], whole: Component): Component[] {
  const halves = [-0.7, 0.7].map((way) => ({
    ...whole,
    ...GAUSSIAN,
    meanMm: whole.meanMm + way * whole.sdMm,
    sdMm: 0.75 * whole.sdMm,
  }));
  return [...components.filter((c) => c !== whole), ...halves];
}

/** Throws out bands, one by one, as long as the rest explains the data as well. */
function withoutIdle(data: FitData, fit: BandFit, limits: FitLimits, score: (fit: BandFit) => number): BandFit {
  let best = fit;
  for (;;) {
    const bands = best.components.filter((c) => c.kind === 'band' && c.pinMm === undefined);
    const weakest = bands.toSorted((a, b) => strength(data, a) - strength(data, b)).slice(0, 2);
    let improved: BandFit | null = null;
    for (const band of weakest) {
      const next = fitBands(
        data,
        best.components.filter((c) => c !== band),
        limits,
        SHORT_FIT,
      );
      if (score(next) < score(improved ?? best)) improved = next;
    }
    if (improved === null) return best;
    best = improved;
  }
}

/** What a component alone explains, roughly: its squared heights in σ times its width. */
function strength(data: FitData, c: Component): number {
  const i = Math.min(data.bins - 1, Math.max(0, Math.round((c.meanMm - data.firstMm) / data.binMm)));
  return squaredSigmas(data, i, c.heights) * c.sdMm;
}

/**
 * Gives a tail to what misses the data without one, each component the one of the kinds that earns its parameters best; the strongest first.
 * A component about which the fit misses less than a tail must earn is not tried.
 */
function withTails(
  data: FitData,
  fit: BandFit,
  limits: FitLimits,
  least: number,
  score: (fit: BandFit) => number,
): BandFit {
  let best = fit;
  const order = fit.components
    .map((c, j) => ({ j, strength: strength(data, c) }))
    .toSorted((a, b) => b.strength - a.strength);
  for (const { j } of order) {
    const c = best.components[j];
    if (c.tail !== 'none' || missedAbout(data, best, c) < least) continue;
    const looked = tailed(c).map((other) =>
      fitBands(
        data,
        best.components.map((own, k) => (k === j ? other : own)),
        limits,
        QUICK_LOOK,
      ),
    );
    const quick = looked.toSorted((a, b) => score(a) - score(b))[0];
    const found = fitBands(data, quick.components, limits, SHORT_FIT);
    if (score(found) < score(best)) best = found;
  }
  return best;
}

/** Where each kind of tail is looked for from. What stayed at the origin has not run: nothing but a spot of its own sort. */
function tailed(c: Component): Component[] {
  const dragged: Component = { ...c, tail: 'dragged', drag: -0.3 };
  if (c.kind === 'origin') return [dragged];
  return [
    dragged,
    { ...c, tail: 'overloaded', drag: -0.7 },
    { ...c, tail: 'delayed', meanMm: c.meanMm + 0.3 * c.sdMm, sdMm: 0.8 * c.sdMm, drag: -1, delay: 0.5 },
  ];
}

/**
 * Two neighbours of one colour may be the front and the tail of one band, found before there was a tail: one tailed component takes the place of
 * both where that explains the data as well.
 */
function withJoined(data: FitData, fit: BandFit, limits: FitLimits, score: (fit: BandFit) => number): BandFit {
  let best = fit;
  for (;;) {
    const tries = alikePairs(best.components).flatMap(([a, b]) => {
      const others = best.components.filter((c) => c !== a && c !== b);
      return joined(a, b).map((whole) => fitBands(data, [...others, whole], limits, SHORT_FIT));
    });
    const found = tries.toSorted((a, b) => score(a) - score(b))[0];
    if (found === undefined || score(found) >= score(best)) return best;
    best = found;
  }
}

function alikePairs(components: readonly Component[]): [Component, Component][] {
  const bands = components.filter((c) => c.kind === 'band' && c.pinMm === undefined && Math.max(...c.heights) > 0);
  const alike = (a: Component, b: Component): boolean =>
    Math.abs(a.meanMm - b.meanMm) < REACH_SD * (a.sdMm + b.sdMm) && angleBetween(a.heights, b.heights) < ALIKE_RAD;
  return bands.flatMap((a, i) =>
    bands.slice(i + 1).flatMap((b): [Component, Component][] => (alike(a, b) ? [[a, b]] : [])),
  );
}

/** By the moments of both together, once for each cause of a tail. */
function joined(a: Component, b: Component): Component[] {
  const [p, q] = [a, b].map((c) => c.sdMm * Math.hypot(...c.heights));
  const mix = (x: number, y: number): number => (p * x + q * y) / (p + q);
  const meanMm = mix(a.meanMm, b.meanMm);
  const sdMm = Math.sqrt(mix(a.sdMm ** 2 + (a.meanMm - meanMm) ** 2, b.sdMm ** 2 + (b.meanMm - meanMm) ** 2));
  const [overloaded, delayed] = tailed(newComponent('band', meanMm, sdMm)).slice(1);
  return [{ ...overloaded, drag: -1.5 }, delayed];
}

/** χ² of what the fit misses within five standard deviations of a component. */
function missedAbout(data: FitData, fit: BandFit, { meanMm, sdMm }: Component): number {
  let sum = 0;
  for (let i = 0; i < data.bins; i++)
    if (Math.abs(data.firstMm + i * data.binMm - meanMm) < 5 * sdMm) sum += misfitAt(data, fit.fitted, i);
  return sum;
}

function misfitAt(data: FitData, fitted: Float64Array, i: number): number {
  const { bins, density } = data;
  return squaredSigmas(
    data,
    i,
    [0, 1, 2].map((c) => density[c * bins + i] - fitted[c * bins + i]),
  );
}
