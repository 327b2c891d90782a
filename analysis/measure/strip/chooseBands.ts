/** How many bands: candidates are taken in and thrown out again by what they gain against what a parameter must earn (BIC). */
import { candidates, type Candidate } from './candidates.ts';
import { fitBands, squaredSigmas, type BandFit, type Component, type FitData, type FitLimits } from './bandFit.ts';

/** Steps of the search: to compare starts, to judge a small change, else in full. */
const QUICK_LOOK = 4;
const SHORT_FIT = 10;
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
    (sum, c) => sum + 2 + (c.dragged ? 1 : 0) + c.heights.filter((h) => h > 0).length,
    0,
  );
  return fit.chi2 + parameters * Math.log(independent);
}

export function chooseBands(data: FitData, limits: FitLimits, correlatedBins: number, options: ChooseOptions): BandFit {
  const independent = Math.max(3, (3 * data.bins) / correlatedBins);
  const score = (fit: BandFit): number => bic(fit, independent);
  const origin = newComponent('origin', limits.originMm, 0.8);
  const inRun = (c: Candidate): boolean => c.placeMm > limits.originMm + 0.8 && c.placeMm < limits.frontMm + 0.5;
  const strong = candidates(data, data.density).filter((c) => inRun(c) && c.significance > 6);
  const pins = (options.pinsMm ?? []).map((mm): Component => ({ ...newComponent('band', mm, 1.2), pinMm: mm }));
  const unpinned = strong.filter((c) => pins.every((p) => Math.abs(p.meanMm - c.placeMm) > TWICE_SEEN_MM));
  const first = [...pins, ...unpinned.slice(0, options.mostBands).map((c) => newComponent('band', c.placeMm, c.sdMm))];
  let best = fitBands(data, [origin, ...first], limits);
  best = withTwoAtOrigin(data, best, limits, score);
  best = withoutIdle(data, best, limits, score);
  best = withTails(data, best, limits, score);
  for (let round = 0; round < 12; round++) {
    const next = best.components.length <= options.mostBands ? bestAddition(data, best, limits, inRun, score) : null;
    if (next === null) break;
    best = withoutIdle(data, withTails(data, next, limits, score), limits, score);
  }
  return best;
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
  return { kind, meanMm, sdMm, drag: 0, dragged: false, heights: [0, 0, 0] };
}

/** A drop's spot has a flat top and steep flanks, a pen's line is a bell: two halves side by side serve for the first. */
function withTwoAtOrigin(data: FitData, fit: BandFit, limits: FitLimits, score: (fit: BandFit) => number): BandFit {
  const next = fitBands(data, halved(fit.components, fit.components[0]), limits);
  return score(next) < score(fit) ? next : fit;
}

/** The best single band more, from what the fit left over; null when none earns its parameters. */
function bestAddition(
  data: FitData,
  fit: BandFit,
  limits: FitLimits,
  inRun: (c: Candidate) => boolean,
  score: (fit: BandFit) => number,
): BandFit | null {
  const rest = data.density.map((v, i) => v - fit.fitted[i]);
  const tries = candidates(data, rest).filter((c) => inRun(c) && c.significance > 2.5);
  const starts = tries.slice(0, 3).map((c) => [...fit.components, newComponent('band', c.placeMm, c.sdMm)]);
  const worst = worstExplained(data, fit);
  if (worst !== null) starts.push(halved(fit.components, worst));
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
    dragged: false,
    drag: 0,
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

/** Lets bands drag a tail where that earns its parameter: all at once first, then those that gained nothing go straight again. */
function withTails(data: FitData, fit: BandFit, limits: FitLimits, score: (fit: BandFit) => number): BandFit {
  if (fit.components.every((c) => c.dragged)) return fit;
  const dragged = fit.components.map((c) => (c.dragged ? c : { ...c, dragged: true, drag: -0.3 }));
  let best = fitBands(data, dragged, limits);
  if (score(best) > score(fit)) best = fit;
  for (let j = 0; j < best.components.length; j++) {
    const c = best.components[j];
    if (!c.dragged || Math.abs(c.drag) > 0.6) continue;
    const straight = best.components.map((other, k) => (k === j ? { ...other, dragged: false, drag: 0 } : other));
    const next = fitBands(data, straight, limits, SHORT_FIT);
    if (score(next) < score(best)) best = next;
  }
  return best;
}

function misfitAt(data: FitData, fitted: Float64Array, i: number): number {
  const { bins, density } = data;
  return squaredSigmas(
    data,
    i,
    [0, 1, 2].map((c) => density[c * bins + i] - fitted[c * bins + i]),
  );
}
