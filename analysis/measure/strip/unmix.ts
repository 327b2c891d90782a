/**
 * How much of each of a strip's dyes lies at a place: of this strip, of another one, of a colour of writing. Densities of dyes add
 * (Beer–Lambert, three channels), and no dye is there less than not at all: non-negative least squares.
 * Source: Lawson & Hanson (1974), Solving Least Squares Problems, chapter 23.
 */
import { coneSignals } from '../../colour/adapt.ts';
import { labD50, labToXyz, type LabD50 } from '../../colour/lab.ts';
import { triple } from '../../triple.ts';
import { type Addition, DENSITIES_ADD, layerAdds } from './addition.ts';
import type { Heights } from './bands.ts';
import { nonNegative } from './heights.ts';
import type { StripMeasure } from './strip.ts';

export interface Dye {
  /** Density (or what adds in its place) of one unit, one a channel: as much as makes the band's crown. */
  readonly density: Heights;
  /** Standard uncertainties. */
  readonly u: Heights;
}

export interface Unmixed {
  /** One a dye, in its units. */
  readonly amounts: readonly number[];
  /**
   * As far as an amount can go either way while the others make up for it within one standard deviation: wide where two dyes look alike
   * or where there are more dyes than three channels can tell apart.
   */
  readonly u: readonly number[];
  /** Density that no sum of these dyes explains, one a channel; its size over what noise explains (above 2: another dye, or not these). */
  readonly rest: Heights;
  readonly misfit: number;
}

/** Paper takes up a dye's colour a little otherwise at every strength: share of its density by which a channel strays (docs/study/strip.md). */
const STRAY = 0.03;
/** Standard deviation of a density that nobody told of. */
const USUAL_NOISE = 0.004;

/** The dyes of a strip, by number; a unit is what lies at the band's crown. */
export function dyesOf(strip: Pick<StripMeasure, 'bands'>): Dye[] {
  return strip.bands.map((band) => ({ density: band.heights, u: band.uHeights }));
}

/** @param noise standard deviation of the densities by chance, one a channel. */
export function unmix(dyes: readonly Dye[], density: Heights, noise: Heights = usual()): Unmixed {
  const stray = (amounts: readonly number[]): Heights =>
    triple((c) =>
      Math.hypot(noise[c], STRAY * Math.max(0, density[c]), ...amounts.map((amount, j) => amount * dyes[j].u[c])),
    );
  // What the dyes themselves may err by counts as much as there is of them: known only after a first look.
  const first = solve(dyes, density, stray([]));
  const problem = { dyes, density, sigma: stray(first) };
  const amounts = solve(dyes, density, problem.sigma);
  const least = chi2(problem, amounts);
  const u = amounts.map((amount, j) => {
    const costs = (t: number): number => chi2(problem, solveWith(problem, j, t)) - least;
    const low = costs(0) <= 1 ? 0 : between(costs, amount, 0);
    return Math.max(amount - low, between(costs, amount, beyond(costs, amount)) - amount);
  });
  const left = rest(problem, amounts);
  return { amounts, u, rest: left, misfit: Math.sqrt(least) };
}

/** By what adds on a strip's paper: its densities, or in an opaque layer what `addition.ts` makes of them. */
function additionOf({ law, profile }: Pick<StripMeasure, 'law' | 'profile'>): Addition {
  return law === 'layer' && profile.paper ? layerAdds(profile.paper) : DENSITIES_ADD;
}

/** The dyes of a strip, by number, by what adds on its paper: for `unmixStrip`. */
export function addingDyesOf(strip: Pick<StripMeasure, 'bands' | 'law' | 'profile'>): Dye[] {
  const addition = additionOf(strip);
  return dyesOf(strip).map(({ density, u }) => ({
    density: triple((c) => addition.amountOf(c, density[c])),
    u: triple((c) => u[c] * addition.slopeAt(c, density[c])),
  }));
}

/** The amounts alone, for whole pictures: telling how sure each is costs a hundred times as much. */
export function amountsOf(dyes: readonly Dye[], density: Heights, noise: Heights = usual()): number[] {
  return solve(
    dyes,
    density,
    triple((c) => Math.hypot(noise[c], STRAY * Math.max(0, density[c]))),
  );
}

/** At every place of a strip's profile: of the one that the dyes were told from, or of another. @param dyes of `addingDyesOf` */
export function unmixStrip(dyes: readonly Dye[], strip: Pick<StripMeasure, 'law' | 'profile'>): Unmixed[] {
  const { absorbance, noise, positionMm } = strip.profile;
  const addition = additionOf(strip);
  return Array.from(positionMm, (_, i) =>
    unmix(
      dyes,
      triple((c) => addition.amountOf(c, absorbance[c][i])),
      triple((c) => noise[c] * addition.slopeAt(c, absorbance[c][i])),
    ),
  );
}

/**
 * Densities of a colour over its paper in sharpened cone signals: what a colour of writing and a band's colour have in common
 * when only their Lab is known. Both must be told so: a strip's own channels are the scanner's.
 */
export function densityOfColour(lab: LabD50, paper: LabD50): Heights {
  const [own, bare] = [coneSignals(labToXyz(lab)), coneSignals(labToXyz(paper))];
  return triple((c) => -Math.log10(Math.max(LEAST_SIGNAL, own[c]) / Math.max(LEAST_SIGNAL, bare[c])));
}

const LEAST_SIGNAL = 1e-3;

/** A dye by its band's colour on the strip's paper, for use with `densityOfColour`. @param u of the colour, per component. */
export function dyeOfColour(lab: LabD50, paper: LabD50, u: Heights): Dye {
  const density = densityOfColour(lab, paper);
  const [L, a, b] = lab;
  const nudged = [labD50(L + u[0], a, b), labD50(L, a + u[1], b), labD50(L, a, b + u[2])].map((moved) =>
    densityOfColour(moved, paper),
  );
  return { density, u: triple((c) => Math.hypot(...nudged.map((n) => n[c] - density[c]))) };
}

interface Problem {
  readonly dyes: readonly Dye[];
  readonly density: Heights;
  readonly sigma: Heights;
}

function solve(dyes: readonly Dye[], density: Heights, sigma: Heights): number[] {
  const n = dyes.length;
  const gram = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (let c = 0; c < 3; c++) {
    const weight = 1 / sigma[c] ** 2;
    for (let j = 0; j < n; j++) {
      const own = dyes[j].density[c] * weight;
      right[j] += own * density[c];
      for (let k = 0; k < n; k++) gram[j * n + k] += own * dyes[k].density[c];
    }
  }
  const amounts = new Float64Array(n);
  nonNegative(gram, right, n, amounts);
  return [...amounts];
}

/** The best amounts with that of dye j held at t. */
function solveWith({ dyes, density, sigma }: Problem, j: number, t: number): number[] {
  const others = dyes.filter((_, k) => k !== j);
  const left = triple((c) => density[c] - t * dyes[j].density[c]);
  const found = solve(others, left, sigma);
  return [...found.slice(0, j), t, ...found.slice(j)];
}

function rest({ dyes, density }: Problem, amounts: readonly number[]): Heights {
  return triple((c) => density[c] - amounts.reduce((sum, amount, j) => sum + amount * dyes[j].density[c], 0));
}

function chi2(problem: Problem, amounts: readonly number[]): number {
  const left = rest(problem, amounts);
  return left.reduce((sum, v, c) => sum + (v / problem.sigma[c]) ** 2, 0);
}

/** An amount that costs more than one. The cost is convex: it is met by doubling. */
function beyond(costs: (t: number) => number, amount: number): number {
  let t = Math.max(1e-3, 2 * amount);
  for (let round = 0; round < 40 && costs(t) <= 1; round++) t *= 2;
  return t;
}

/** Where the cost passes one between an amount that costs less and one that costs more. */
function between(costs: (t: number) => number, less: number, more: number): number {
  let [inside, outside] = [less, more];
  for (let round = 0; round < 30; round++) {
    const middle = (inside + outside) / 2;
    if (costs(middle) <= 1) inside = middle;
    else outside = middle;
  }
  return inside;
}

function usual(): Heights {
  return [USUAL_NOISE, USUAL_NOISE, USUAL_NOISE];
}
