/** How far off an ink's colours are by the target's map and by the film fit: simulated scanners and papers, inks that the prior has not seen. */
import type { InkPrior } from '../analysis/film/inkPrior.ts';
import { seededRandom } from '../analysis/seededRandom.ts';
import { drawPaper as drawSamplePaper } from '../sample-scans/generator/paper.ts';
import { between, normal } from './draw.ts';
import { inkPrior } from './filmPriors/make.ts';
import { trial, type Way } from './filmTrial.ts';
import { filmWorld, type FilmWorld } from './filmWorlds.ts';
import { DYE_FAMILIES, realDyesByName } from './realDyes.ts';
import { drawAbsorption, drawInk, drawPaper, mixDyes, type SimulatedInk, type Spectrum } from './simulatedColours.ts';

const DOSES = 7;
const KNOWN = ['spectra', 'lab'] as const;
const FAMILIES = Object.keys(DYE_FAMILIES);

interface Outcome {
  readonly ink: 'lobes' | 'real dyes';
  readonly family: string;
  readonly scanner: FilmWorld['scanner'];
  readonly target: string;
  readonly known: (typeof KNOWN)[number];
  readonly papers: 1 | 3;
  readonly map: Way;
  readonly film: Way;
}

export function filmStudy(seeds: number, first: number): string {
  const dyes = realDyesByName();
  const priors = new Map<string, InkPrior>(
    FAMILIES.map((family) => [
      family,
      inkPrior([...dyes].filter(([name]) => !DYE_FAMILIES[family].includes(name)).map(([, curve]) => curve)),
    ]),
  );
  const outcomes: Outcome[] = [];
  for (let seed = first; seed < first + seeds; seed++) outcomes.push(...outcomesOf(seed, dyes, priors));
  const rows = (group: (outcome: Outcome) => boolean): string[] =>
    KNOWN.flatMap((known) =>
      ([3, 1] as const).flatMap((papers) => {
        const own = outcomes.filter((o) => o.known === known && o.papers === papers && group(o));
        const what = `${known === 'spectra' ? 'spectra' : 'Lab alone'}, ${papers === 3 ? 'three papers' : 'one sheet'}`;
        return own.length === 0
          ? []
          : [row(`${what}: map`, own, (o) => o.map), row(`${what}: film`, own, (o) => o.film)];
      }),
    );
  return [
    '# The film fit against the target’s map',
    '',
    `Made by \`npm run study film ${seeds}\`, seeds from ${first} on. Half of the scanners are as the sample scans’ generator draws them, half this study’s own,`,
    'far from the eye; targets of three dyes in tone or in dots and of five pigments, in three sizes, in turn. Each ink lies at seven doses on a white, a cream',
    'and a yellow paper without brightener (or on the white alone), as linear signals with noise: no pixels. Inks: lobes that nobody measured, and mixtures of',
    'measured dyes of one family, with that whole family left out of the prior. Errors in ΔE00 over all doses: median / 90th / 95th percentile. "shading": of ΔE00',
    'between the palest and the densest dose; "tone": between two papers; both 90th percentiles. "better": inks whose mean error the fit lowers. "k": share of',
    'L*, a*, b* within ± 2u.',
    '',
    '## All',
    '',
    ...HEAD,
    ...rows((o) => o.ink === 'lobes').map((line) => line.replace('| ', '| lobes, ')),
    ...rows((o) => o.ink === 'real dyes').map((line) => line.replace('| ', '| real dyes, ')),
    '',
    '## By family of dyes left out of the prior: spectra known, three papers',
    '',
    ...HEAD,
    ...FAMILIES.flatMap((family) => {
      const own = outcomes.filter((o) => o.family === family && o.known === 'spectra' && o.papers === 3);
      return own.length === 0
        ? []
        : [row(`${family}: map`, own, (o) => o.map), row(`${family}: film`, own, (o) => o.film)];
    }),
    '',
    '## By scanner and target: spectra known, three papers, all inks',
    '',
    ...HEAD,
    ...['drawn', 'ordinary'].flatMap((scanner) =>
      ['photographic', 'dots', 'colorants'].flatMap((target) => {
        const own = outcomes.filter(
          (o) => o.scanner === scanner && o.target === target && o.known === 'spectra' && o.papers === 3,
        );
        const what = `${scanner}, ${target}`;
        return own.length === 0
          ? []
          : [row(`${what}: map`, own, (o) => o.map), row(`${what}: film`, own, (o) => o.film)];
      }),
    ),
    '',
    `A fit takes ${quantile(
      outcomes.filter((o) => o.papers === 3).map((o) => o.film.ms),
      0.5,
    ).toFixed(0)} ms with three papers, ` +
      `${quantile(
        outcomes.filter((o) => o.papers === 1).map((o) => o.film.ms),
        0.5,
      ).toFixed(0)} ms with one (medians on the machine of the day).`,
  ].join('\n');
}

const HEAD = [
  '| way | colour | shading | tone | bare paper, median | k | better |',
  '| --- | --- | --- | --- | --- | --- | --- |',
];

function outcomesOf(
  seed: number,
  dyes: ReadonlyMap<string, Spectrum>,
  priors: ReadonlyMap<string, InkPrior>,
): Outcome[] {
  const world = filmWorld(seed);
  const random = seededRandom(seed * 31 + 5);
  const family = FAMILIES[seed % FAMILIES.length];
  const strangers = DYE_FAMILIES[family].map((name) => dyes.get(name)!);
  const inks: readonly (readonly [Outcome['ink'], SimulatedInk])[] = [
    ['lobes', drawInk(drawAbsorption(random), random)],
    ['lobes', drawInk(drawAbsorption(random), random)],
    ['real dyes', drawInk(mixDyes(strangers, random), random)],
    ['real dyes', drawInk(mixDyes(strangers, random), random)],
  ];
  return inks.flatMap(([ink, drawn]) => {
    const papers = [
      drawPaper('white', random),
      drawPaper('cream', random),
      [...drawSamplePaper(Math.floor(1e6 * random()), 'yellow', 'film').reflectance],
    ];
    const most = between(random, 1, 3);
    const doses = papers.map(() =>
      Array.from(
        { length: DOSES },
        (_, i) => most * 0.06 ** (1 - i / (DOSES - 1)) * Math.exp(0.1 * normal(random)),
      ).sort((a, b) => a - b),
    );
    return KNOWN.flatMap((known) =>
      ([3, 1] as const).map((count): Outcome => {
        const { map, film } = trial(
          world,
          world.sensors[known],
          drawn,
          papers.slice(0, count),
          doses.slice(0, count),
          priors.get(family)!,
        );
        return {
          ink,
          family: ink === 'real dyes' ? family : '',
          scanner: world.scanner,
          target: world.target,
          known,
          papers: count,
          map,
          film,
        };
      }),
    );
  });
}

function row(name: string, outcomes: readonly Outcome[], pick: (outcome: Outcome) => Way): string {
  const ways = outcomes.map(pick);
  const errors = ways.flatMap((way) => way.errors);
  const covered = ways.flatMap((way) => way.covered ?? []);
  const better = outcomes.filter((o) => mean(o.film.errors) <= mean(o.map.errors)).length / outcomes.length;
  const isMap = covered.length === 0;
  return [
    '',
    name,
    [0.5, 0.9, 0.95].map((q) => quantile(errors, q).toFixed(2)).join(' / '),
    quantile(
      ways.map((way) => way.shading),
      0.9,
    ).toFixed(2),
    outcomes[0].papers === 1
      ? '–'
      : quantile(
          ways.map((way) => way.toneShift),
          0.9,
        ).toFixed(2),
    quantile(
      ways.map((way) => way.paper),
      0.5,
    ).toFixed(2),
    isMap ? '–' : mean(covered).toFixed(3),
    isMap ? '–' : better.toFixed(2),
    '',
  ]
    .join(' | ')
    .trim();
}

function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / values.length;
}

function quantile(values: readonly number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
}
