/** Which of an ink's doses can be fitted together, and why others cannot. */
import type { BarePaper } from '../barePaper.ts';
import type { MeasuredInk } from '../ink.ts';
import type { InkDoses } from './inkDoses.ts';

type Triple = readonly [number, number, number];

/** One paper on one scan. */
export interface FilmPaper {
  /** Of nothing else in this input. */
  readonly id: string;
  readonly bare: BarePaper;
  /** Its bare parts lie at an end of the scanner's scale. */
  readonly clipped: boolean;
}

export interface FilmRegion {
  /** Index into the papers. */
  readonly paper: number;
  readonly ink: MeasuredInk;
  readonly doses: InkDoses;
}

/** A bin of a region, for the fit. */
export interface Dose {
  /** Indices into the input. */
  readonly region: number;
  readonly paper: number;
  /** Linear signals, as measured. */
  readonly signal: Triple;
  /** Of the region's counted pixels, 0..1. */
  readonly share: number;
}

/** Why a region's doses are not among those fitted. */
export type LeftOut = 'clipped' | 'narrow' | 'few-doses' | 'misfit';

export interface Series {
  /** Papers that show enough doses, as indices; none: nothing can be fitted. */
  readonly papers: readonly number[];
  readonly doses: readonly Dose[];
  /** Region → why; those that are absent are in `doses`. */
  readonly leftOut: ReadonlyMap<number, LeftOut>;
  /** Regions of which is known that they hold another ink: they are among `doses` and should teach nothing. */
  readonly foreign: ReadonlySet<number>;
}

/** One swab on each of three papers pooled is worse than one alone: a paper joins with three doses of its own. */
const FEWEST_ON_A_PAPER = 3;
/** Below four doses a fit is no better than the target's map. */
export const FEWEST_DOSES = 4;
/** Densities that differ by less than this factor are one dose. */
const DISTINCT = 1.12;
/** All doses together must reach over at least this factor in density. */
const LEAST_SPAN = 1.5;
/** Of a region's pixels this share at either end says too little of its doses. */
const THIN_END = 0.1;
/** A bin with a larger share of clipped pixels is left out; a region that loses more than half so is. */
const CLIPPED_SHARE = 0.005;

/**
 * @param foreign Indices of regions that pathDistance calls another ink: they teach nothing. @returns no papers where too little of the
 * ink is seen for a fit
 */
export function doseSeries(
  papers: readonly FilmPaper[],
  regions: readonly FilmRegion[],
  foreign: ReadonlySet<number> = new Set(),
): Series {
  const leftOut = new Map<number, LeftOut>();
  const doses = regions.flatMap(({ paper, doses: { bins, narrow } }, region): Dose[] => {
    const sound = bins.filter(({ clippedShare }) => clippedShare <= CLIPPED_SHARE);
    if (papers[paper].clipped || sound.reduce((sum, { share }) => sum + share, 0) < 0.5) leftOut.set(region, 'clipped');
    else if (narrow) leftOut.set(region, 'narrow');
    else return sound.map(({ signal, share }) => ({ region, paper, signal, share }));
    return [];
  });
  const pooled = pool(papers, doses);
  regions.forEach(({ paper }, region) => {
    if (!leftOut.has(region) && !pooled.includes(paper)) leftOut.set(region, 'few-doses');
  });
  return { papers: pooled, doses: doses.filter(({ paper }) => pooled.includes(paper)), leftOut, foreign };
}

/** A series of these papers alone. */
export function seriesOn(series: Series, paper: number, papers: readonly FilmPaper[]): Series {
  const doses = series.doses.filter((dose) => dose.paper === paper);
  return { ...series, papers: pool(papers, doses), doses };
}

/** Papers on which the fit may stand: enough doses on each, and over all of them. */
function pool(papers: readonly FilmPaper[], doses: readonly Dose[]): number[] {
  const densities = densitiesOf(papers, doses);
  const firm = firmOnes(doses, densities);
  const on = (paper: number): number[] => densities.filter((_, i) => doses[i].paper === paper && firm.has(doses[i]));
  const rich = papers.map((_, paper) => paper).filter((paper) => distinct(on(paper)) >= FEWEST_ON_A_PAPER);
  const all = rich.flatMap(on);
  const enough = distinct(all) >= FEWEST_DOSES && Math.max(...all) >= LEAST_SPAN * Math.min(...all);
  return enough ? rich : [];
}

/**
 * Without the thin ends of each region: at its palest those may be pixels of paper beside ink, at its densest of two layers. They count in a fit that other
 * doses hold; one that stands on them follows them (an even swab at 72 dpi told a* −40 for −8 from 5 % of its pixels).
 */
function firmOnes(doses: readonly Dose[], densities: readonly number[]): ReadonlySet<Dose> {
  const byRegion = new Map<number, { dose: Dose; density: number }[]>();
  doses.forEach((dose, i) => {
    byRegion.set(dose.region, [...(byRegion.get(dose.region) ?? []), { dose, density: densities[i] }]);
  });
  return new Set(
    [...byRegion.values()].flatMap((own) => {
      const sorted = own.toSorted((a, b) => a.density - b.density).map(({ dose }) => dose);
      const dense = new Set(pastThinEnd(sorted.toReversed()));
      return pastThinEnd(sorted).filter((dose) => dense.has(dose));
    }),
  );
}

function pastThinEnd(sorted: readonly Dose[]): readonly Dose[] {
  const all = sorted.reduce((sum, { share }) => sum + share, 0);
  let passed = 0;
  return sorted.filter(({ share }) => (passed += share) >= THIN_END * all);
}

/** Natural logarithm of paper over ink, channels weighted by how much this ink takes away in each. */
export function densitiesOf(papers: readonly FilmPaper[], doses: readonly Dose[]): number[] {
  const ratios = doses.map(({ paper, signal }) => signal.map((x, c) => x / papers[paper].bare.signal[c]));
  const away = [0, 1, 2].map((c) => ratios.reduce((sum, ratio) => sum + Math.max(1e-3, 1 - ratio[c]), 0));
  const all = away[0] + away[1] + away[2];
  return ratios.map((ratio) => {
    const left = ratio.reduce((sum, r, c) => sum + (away[c] / all) * r, 0);
    return Math.max(1e-3, -Math.log(Math.max(left, 1e-3)));
  });
}

/** How many densities stand apart from the next paler one that counts. */
export function distinct(densities: readonly number[]): number {
  let count = 0;
  let last = 0;
  for (const density of densities.toSorted((a, b) => a - b)) {
    if (density < DISTINCT * last) continue;
    count++;
    last = density;
  }
  return count;
}
