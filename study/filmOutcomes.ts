/** Inks of several kinds on several papers in one world: how far off the map is, and the film fit. */
import type { InkPrior } from '../analysis/film/inkPrior.ts';
import { shippedInkPrior } from '../analysis/film/inkPrior.ts';
import { judgeFit } from '../analysis/film/judge.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { drawPaper as drawSamplePaper } from '../sample-scans/generator/paper.ts';
import { between } from './draw.ts';
import { inkPrior } from './filmPriors/make.ts';
import { type Place, trial, type Trial, trialOf, type Way } from './filmTrial.ts';
import type { FilmWorld } from './filmWorlds.ts';
import { recipeInk, recipeSwabs } from './recipeWorlds.ts';
import { DYE_FAMILIES, pigmentsByName, realDyesByName } from './realDyes.ts';
import { drawAbsorption, drawInk, drawPaper, mixDyes, type SimulatedInk } from './simulatedColours.ts';

const DOSES = 7;
export const FAMILIES = Object.keys(DYE_FAMILIES);
export const KNOWN = ['spectra', 'lab'] as const;
export type Known = (typeof KNOWN)[number];
export type InkKind = 'lobes' | 'real dyes' | 'pigments';

export interface Outcome {
  readonly ink: InkKind;
  readonly family: string;
  readonly world: FilmWorld;
  readonly known: Known;
  readonly papers: 1 | 3;
  /** True difference of L* between the palest and the densest dose. */
  readonly spanL: number;
  readonly map: Way;
  readonly film: Way;
  /** What is told: the film's, or the map's where the fit is not believed (analysis/film/judge.ts). */
  readonly told: Way;
}

const priors = new Map<string, InkPrior>();

/** Each family's prior has never seen a dye of it. */
function priorWithout(family: string): InkPrior {
  const known = priors.get(family);
  if (known) return known;
  const made = inkPrior(
    [...realDyesByName()].filter(([name]) => !DYE_FAMILIES[family].includes(name)).map(([, curve]) => curve),
  );
  priors.set(family, made);
  return made;
}

/** Two inks of lobes and two of real dyes of one family, in turn. */
export function dyeOutcomes(
  world: FilmWorld,
  each = 2,
  cases: readonly (readonly [Known, 1 | 3])[] = ALL_CASES,
): Outcome[] {
  const random = seededRandom(world.seed * 31 + 5);
  // Scanners take turns from seed to seed: each kind of them sees each family.
  const family = FAMILIES[Math.floor(world.seed / 2) % FAMILIES.length];
  const dyes = realDyesByName();
  const strangers = DYE_FAMILIES[family].map((name) => dyes.get(name)!);
  const inks: (readonly [InkKind, SimulatedInk])[] = [
    ...Array.from({ length: each }, () => ['lobes', drawInk(drawAbsorption(random), random)] as const),
    ...Array.from({ length: each }, () => ['real dyes', drawInk(mixDyes(strangers, random), random)] as const),
  ];
  return inks.flatMap(([kind, ink]) =>
    outcomesOf(world, kind, ink, kind === 'real dyes' ? family : '', priorWithout(family), random, cases),
  );
}
const ALL_CASES = KNOWN.flatMap((known) => ([3, 1] as const).map((papers) => [known, papers] as const));

/** One measured pigment, or two mixed. */
export function pigmentOutcomes(world: FilmWorld): Outcome[] {
  const random = seededRandom(world.seed * 37 + 11);
  const pigments = [...pigmentsByName().values()];
  const first = pigments[Math.floor(world.seed / 2) % pigments.length];
  const second = pigments[Math.floor(random() * pigments.length)];
  const share = random() < 0.5 ? 0 : between(random, 0.1, 0.6);
  const k = first.k.map((v, l) => (1 - share) * v + share * second.k[l]);
  const s = first.s.map((v, l) => (1 - share) * v + share * second.s[l]);
  const top = Math.max(...k);
  const ink = { k: k.map((v) => v / top), scatter: s.map((v) => v / top) };
  return outcomesOf(world, 'pigments', ink, '', shippedInkPrior(), random, [['spectra', 3]]);
}

function outcomesOf(
  world: FilmWorld,
  ink: InkKind,
  drawn: SimulatedInk,
  family: string,
  prior: InkPrior,
  random: () => number,
  cases: readonly (readonly [Known, 1 | 3])[],
): Outcome[] {
  const papers = [
    drawPaper('white', random),
    drawPaper('cream', random),
    [...drawSamplePaper(Math.floor(1e6 * random()), 'yellow', 'film').reflectance],
  ];
  const most = between(random, 1, 3);
  const doses = papers.map(() =>
    Array.from({ length: DOSES }, (_, i) => most * 0.06 ** (1 - i / (DOSES - 1)) * Math.exp(0.1 * normal(random))).sort(
      (a, b) => a - b,
    ),
  );
  return cases.map(([known, count]): Outcome => {
    const told = trial(world, world.sensors[known], drawn, papers.slice(0, count), doses.slice(0, count), prior);
    return { ink, family, world, known, papers: count, ...withTold(told) };
  });
}

function withTold({ map, film, spanL }: Trial): Pick<Outcome, 'map' | 'film' | 'told' | 'spanL'> {
  const judged = judgeFit(film.fit!);
  const told = judged.verdict === 'does not fit' || !judged.converged ? map : film;
  return { spanL, map, film, told };
}

/** Inks of lobes by the ranges that the aims were set in, as graded and even swabs on a white, a yellow and a cream paper. */
export function recipeOutcomes(world: FilmWorld, each = 2): Outcome[] {
  const random = seededRandom(world.seed * 43 + 17);
  return Array.from({ length: each }, () => recipeInk(random)).flatMap((ink) => {
    const papers = [
      drawPaper('white', random),
      [...drawSamplePaper(Math.floor(1e6 * random()), 'yellow', 'film').reflectance],
      drawPaper('cream', random),
    ];
    const places = papers.flatMap((paper, p) =>
      recipeSwabs(ink, paper, random).map(({ reflectance }): Place => ({ p, r: reflectance })),
    );
    return ALL_CASES.map(([known, count]): Outcome => {
      const own = places.filter(({ p }) => p < count);
      const told = trialOf(world, world.sensors[known], papers.slice(0, count), own, shippedInkPrior());
      return { ink: 'lobes', family: '', world, known, papers: count, ...withTold(told) };
    });
  });
}
