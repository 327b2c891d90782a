import type { Figure } from './trial.ts';
import { pageOf } from './worlds.ts';

/** [median, 90th percentile] of errors that figures must keep to; 0.35 mm nibs have their own. */
const GOALS: Readonly<Record<string, readonly [median: number, p90: number]>> = {
  'shading.dL of xf': [0.8, 1.5],
  'shading.dL of m': [0.6, 1.2],
  'shading.dL of b': [0.6, 1.2],
  'shading.dL of stub': [0.8, 2],
  'inkColour of xf': [2, 3.5],
  'inkColour of m': [1.5, 3.5],
  'inkColour of b': [1.5, 3.5],
  'inkColour of stub': [1.7, 3.5],
  'swabVariation.dL of swab-even': [0.7, 2],
  'swabVariation.dL of swab-graded': [0.7, 2],
};

const SAMPLES = ['xf', 'm', 'b', 'stub', 'swab-even', 'swab-graded'] as const;
const QUANTITIES = [
  'inkColour',
  'inkDensity',
  'shading',
  'shading.dL',
  'swabVariation',
  'swabVariation.dL',
  'layering',
];
const BY_MAP = [
  'the map on exact signals',
  'inkColour by the map alone, against what the map makes of exact signals',
] as const;

/** docs/study/writing.md. */
export function writingPage(figures: readonly Figure[], firstSeed: number, seeds: number): string {
  const count = (page: string): number =>
    Array.from({ length: seeds }, (_, k) => pageOf(firstSeed + k)).filter((p) => p === page).length;
  return [
    '# Accuracy on handwriting',
    '',
    `Made by \`npm run study writing ${seeds} ${firstSeed}\`: pages of handwriting at 300 dpi, 8 bit (seeds ${firstSeed} to ${firstSeed + seeds - 1}, looked at once, nothing tuned on them), each with its`,
    'own ink, paper, hand, scanner and target; every sixth is a yellow ink on grey paper. Nibs of 0.35 mm (xf), 0.65 mm (m), 1.1 mm (b), and a stub of 1.1 × 0.35 mm whose',
    'width turns with direction; an even and a graded swab. Rendered, written to files, measured as the command line does, and compared with the exact',
    `truth. ${count('plain')} pages hold one ink, on ${count('mixed')} one pen held 2 to 16 % of another ink, on ${count('rinse')} one pen held rinse water that another ink had coloured, on ${count('sheen')} the ink has sheen.`,
    '',
    '## Colours, shading, second passes',
    '',
    'Errors of colours in ΔE00, all others in the quantity’s own unit. The last but one column is the share of figures (of colours: components) whose truth',
    'lies within ± 2u.',
    '',
    '| figure | n | no value | median error | 90th percentile | largest | u | within ± 2u | goal |',
    '| --- | --- | --- | --- | --- | --- | --- | --- | --- |',
    ...QUANTITIES.flatMap((what) => SAMPLES.flatMap((sample) => accuracyLine(figures, what, sample))),
    '',
    'Lines of 0.35 mm are 4 pixels broad at 300 dpi, less than the six that `layering` asks for: blur fills their crossings, and there is rightly no value.',
    '',
    'How much of a colour’s error is the target’s map: what the map makes of signals without blur, noise and fibres, and how far the measured colour is from that.',
    '',
    '| figure | n | median | 90th percentile | largest |',
    '| --- | --- | --- | --- | --- |',
    ...BY_MAP.flatMap((what) => [
      line(`${what}: xf`, of(figures, what, 'xf')),
      line(`${what}: all others`, notXf(figures, what)),
    ]),
    '',
    '## Sheen',
    '',
    ...sheenLines(figures),
    '',
    '## As the maker claims',
    '',
    ...claimLines(figures),
    '',
    '## The odd one out',
    '',
    ...oddLines(figures),
  ].join('\n');
}

function of(figures: readonly Figure[], what: string, sample: string): Figure[] {
  return figures.filter((f) => f.what === what && f.region === `${sample}-white`);
}

function notXf(figures: readonly Figure[], what: string): Figure[] {
  return figures.filter((f) => f.what === what && f.region !== 'xf-white');
}

function accuracyLine(figures: readonly Figure[], what: string, sample: string): string[] {
  const own = of(figures, what, sample);
  if (own.length === 0) return [];
  const told = own.filter((f) => f.error !== null);
  const goal = GOALS[`${what} of ${sample}`];
  const errors = sorted(told.map((f) => f.error!));
  const met = goal && at(errors, 0.5) <= goal[0] && at(errors, 0.9) <= goal[1];
  const covered = (100 * told.reduce((sum, f) => sum + f.covered!, 0)) / Math.max(1, told.length);
  const us = sorted(told.flatMap((f) => f.u ?? []));
  const cells = [
    `${what}: ${sample}`,
    own.length,
    own.length - told.length,
    text(at(errors, 0.5)),
    text(at(errors, 0.9)),
    text(at(errors, 1)),
    text(at(us, 0.5)),
    told.length > 0 ? `${covered.toFixed(1)} %` : '–',
    goal ? `${goal[0]} / ${goal[1]}: ${met ? 'met' : 'missed'}` : '',
  ];
  return [`| ${cells.join(' | ')} |`];
}

function line(name: string, own: readonly Figure[]): string {
  const errors = sorted(own.flatMap((f) => f.error ?? []));
  return `| ${[name, errors.length, ...[0.5, 0.9, 1].map((q) => text(at(errors, q)))].join(' | ')} |`;
}

function sheenLines(figures: readonly Figure[]): string[] {
  const none = sorted(figures.filter((f) => f.what === 'no sheen').flatMap((f) => f.value ?? []));
  const above = none.filter((v) => v > 1).length;
  const real = figures.filter((f) => f.what === 'sheen' && f.error !== null);
  const classes = [
    [0, 1],
    [1, 5],
    [5, 10],
    [10, 100],
  ] as const;
  return [
    `Of ${none.length} samples without sheen the largest figure is ${text(at(none, 1))} %; ${above} exceed 1 %, the limit of “none”.`,
    '',
    'With sheen: the true share is that of the ink whose colour lies more than 3 ΔE00 off every colour that the film alone can have.',
    '',
    '| true share, % | n | median found, % | found over true, median | more than 2u above the truth |',
    '| --- | --- | --- | --- | --- |',
    ...classes.map(([from, to]) => {
      const own = real.filter((f) => f.truth! >= from && f.truth! < to);
      const found = sorted(own.map((f) => f.value ?? 0));
      const ratio = sorted(own.map((f) => (f.value ?? 0) / Math.max(0.01, f.truth!)));
      const over = own.filter((f) => (f.value ?? 0) - 2 * (f.u ?? 0) > f.truth!).length;
      const cells = [`${from} to ${to}`, own.length, text(at(found, 0.5)), from > 0 ? text(at(ratio, 0.5)) : '–', over];
      return `| ${cells.join(' | ')} |`;
    }),
  ];
}

/** Limits of the classes of true distance, ΔE00. */
const DISTANCES = [0, 0.5, 1, 2, 4, 6, Infinity] as const;

function oddLines(figures: readonly Figure[]): string[] {
  const own = figures.filter((f) => f.what === 'the ink itself' && f.error !== null);
  const untold = figures.filter((f) => f.what === 'the ink itself' && f.error === null).length;
  const raised = own.filter((f) => f.error === 1).length;
  const distances = sorted(own.flatMap((f) => f.value ?? []));
  const odd = figures.filter((f) => /another ink/.test(f.what));
  const shining = figures.filter((f) => f.what === 'the ink itself, with sheen' && f.error !== null);
  const kinds = [...new Set(odd.map((f) => f.what))];
  return [
    `Of ${own.length} samples of the ink itself ${raised} carry \`another-ink\` (${((100 * raised) / Math.max(1, own.length)).toFixed(1)} %; with ${own.length} samples none at all would still allow ${(300 / Math.max(1, own.length)).toFixed(1)} % with 95 %`,
    `confidence), ${untold} could not be told. Their distance from the others’ path is ${text(at(distances, 0.5))} ΔE00 in the median, ${text(at(distances, 0.9))} at the 90th percentile, ${text(at(distances, 1))} at most.`,
    '',
    `Of ${shining.length} samples of inks with sheen, which leaves the path too, ${shining.filter((f) => f.error === 1).length} carry it.`,
    '',
    'How often another ink is caught, by how far its mean colour truly lies off all that the ink itself can look like at any dose (ΔE00). Shares that were worked into the',
    'measured colours of plain pages stand for pages that were not rendered. Rinse water leaves less than half of the dose and some of another ink’s dye; water alone only thins the ink,',
    'along the path: that cannot be told, and is not.',
    '',
    `| sample | ${DISTANCES.slice(1)
      .map((to, k) => (to === Infinity ? `from ${DISTANCES[k]}` : `${DISTANCES[k]} to ${to}`))
      .join(' | ')} |`,
    `| --- |${DISTANCES.slice(1)
      .map(() => ' --- |')
      .join('')}`,
    ...[...kinds, 'all'].map((kind) => {
      const some = odd.filter((f) => kind === 'all' || f.what === kind);
      const cells = DISTANCES.slice(1).map((to, k) => {
        const here = some.filter((f) => f.error !== null && f.truth! >= DISTANCES[k] && f.truth! < to);
        return here.length === 0 ? '–' : `${here.filter((f) => f.error === 1).length} of ${here.length}`;
      });
      return `| ${[kind, ...cells].join(' | ')} |`;
    }),
  ];
}

function claimLines(figures: readonly Figure[]): string[] {
  return [
    'The densest writing of each page without sheen: does it read as its own true hue, and as a far one, where a maker claims them; is its hue still seen (chroma above 10).',
    '',
    '| asked | pages | rightly answered | wrongly | cannot tell, or nearly |',
    '| --- | --- | --- | --- | --- |',
    ...['claim that is true', 'claim of a far hue', 'hue still seen', 'name'].map((what) => {
      const some = figures.filter((f) => f.what === what);
      const of = (error: number | null): number => some.filter((f) => f.error === error).length;
      const words = what === 'name' ? 'the name’s hue is that of the true colour’s name' : what;
      return `| ${[words, some.length, of(0), of(1), of(null)].join(' | ')} |`;
    }),
  ];
}

function sorted(values: readonly number[]): number[] {
  return values.toSorted((a, b) => a - b);
}

function at(list: readonly number[], p: number): number {
  return list[Math.min(list.length - 1, Math.floor(p * list.length))] ?? NaN;
}

function text(value: number): string {
  return Number.isFinite(value) ? value.toPrecision(2) : '–';
}
