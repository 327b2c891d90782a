/** docs/study/show-through.md from its rows. */
import { LEAST_CORRELATION, LEAST_SCORE } from '../analysis/measure/showThrough/registered.ts';
import { mean, quantile } from './film.ts';
import { type BackRow } from './showThrough.ts';

export function showThroughPage(rows: readonly BackRow[], first: number, seeds: number): string {
  const own = rows.filter(({ of }) => of === 'own');
  const clean = rows.filter(({ of }) => of === 'clean');
  const sound = own.filter(({ ghosting }) => ghosting !== null);
  const read = [...sound, ...clean.filter(({ ghosting }) => ghosting !== null)];
  const errors = read.map(({ ghosting }) => Math.abs(ghosting![0] - ghosting![2]));
  const share = (some: readonly BackRow[], holds: (row: BackRow) => boolean): string =>
    some.length === 0 ? '–' : (some.filter(holds).length / some.length).toFixed(2);
  const dotted = sound.filter(({ dots }) => dots !== null);
  const offBy = (row: BackRow): number => Math.abs(row.dots![0] - row.dots![1]);
  const areas = dotted
    .filter(({ areaMm2 }) => areaMm2 !== null && areaMm2[2] > 0)
    .map(({ areaMm2 }) => areaMm2![0] / areaMm2![2]);
  const next = rows.filter(({ of, dots }) => of === 'next' && dots !== null);
  const refusedAs = (of: BackRow['of'], flag: string): string =>
    share(
      rows.filter((row) => row.of === of),
      (row) => row.ghosting === null && row.flags.includes(flag),
    );
  const falsely = own.filter(({ ghosting }) => ghosting === null);
  return [
    '# The back of a page',
    '',
    `Made by \`npm run study show-through ${seeds}\`, seeds from ${first} on: pages drawn with exact truth (study/backPages.ts), lines 0.35 to 1.1 mm wide, what shows through between`,
    '1 and 20 % of the light behind broad ink, dots of 0.15 to 0.4 mm radius, paper with fibres and clouds, light that falls off, blur, noise, the steps of 8 bits; front and back at 300 or 600 dpi,',
    'turned by up to 2°, shifted by up to 4 mm, scaled by up to 1 %.',
    '',
    '| what | aimed at | found |',
    '| --- | --- | --- |',
    `| ghosting, error in ΔL\\*, median / 90th percentile (${read.length} pages) | – / 0.3 | ${quantile(errors, 0.5).toFixed(2)} / ${quantile(errors, 0.9).toFixed(2)} |`,
    `| the same at 300 against 600 dpi and the other way round | – / 0.3 | ${mixed(sound)} |`,
    `| share within ± 2u (± u) | 0.90 to 0.99 | ${share(read, ({ ghosting: g }) => Math.abs(g![0] - g![2]) <= 2 * g![1])} (${share(read, ({ ghosting: g }) => Math.abs(g![0] - g![2]) <= g![1])}) |`,
    `| dots exact (${dotted.length} pages) | 0.80 | ${share(dotted, (row) => offBy(row) === 0)} |`,
    `| dots off by one at most | 1.00 | ${share(dotted, (row) => offBy(row) <= 1)} |`,
    `| their area, found over true, 5th to 95th percentile | 0.85 to 1.10 | ${quantile(areas, 0.05).toFixed(2)} to ${quantile(areas, 0.95).toFixed(2)} |`,
    `| area within ± 2u | 0.90 to 0.99 | ${share(dotted, ({ areaMm2: a }) => Math.abs(a![0] - a![2]) <= 2 * a![1])} |`,
    `| next sheet: dots exact / off by one at most (${next.length}) | 0.80 / 1.00 | ${share(next, (row) => offBy(row) === 0)} / ${share(next, (row) => offBy(row) <= 1)} |`,
    `| own reverse that was refused (${own.length}) | 0 | ${share(own, ({ ghosting }) => ghosting === null)} |`,
    `| another sheet’s back refused (${rows.filter(({ of }) => of === 'other').length}) | 1.00 | ${refusedAs('other', 'not-registered')} |`,
    `| unmirrored reverse said (${rows.filter(({ of }) => of === 'unmirrored').length}) | 1.00 | ${refusedAs('unmirrored', 'unmirrored')} |`,
    `| sides scanned with different settings, said and no number (${rows.filter(({ of }) => of === 'settings').length}) | 1.00 | ${refusedAs('settings', 'settings-changed')} |`,
    '',
    '## When a place is believed',
    '',
    `From a score of ${LEAST_SCORE} (the correlation over that of the best other place) and a correlation of ${LEAST_CORRELATION} on.`,
    '',
    '| sheets | score, least / 10th / median / 90th / most | correlation, likewise |',
    '| --- | --- | --- |',
    ...(['own', 'unmirrored', 'other', 'clean'] as const).map((of) => {
      const some = rows.filter((row) => row.of === of && row.score !== null);
      return `| ${WORDS[of]} | ${spread(some.map(({ score }) => score!))} | ${spread(some.map(({ correlation }) => correlation!))} |`;
    }),
    '',
    ...(falsely.length === 0
      ? []
      : [
          `Own reverses that were refused: ${falsely.map(({ seed, score, flags }) => `${seed} (score ${score?.toFixed(2) ?? '–'}, ${flags.join(' ')})`).join('; ')}.`,
          '',
        ]),
    `Mean u of ghosting ${mean(read.map(({ ghosting }) => ghosting![1])).toFixed(2)} ΔL\\*, root mean square error ${Math.sqrt(mean(errors.map((e) => e * e))).toFixed(2)}.`,
  ].join('\n');
}

const WORDS = {
  own: 'own reverse',
  unmirrored: 'own reverse, unmirrored',
  other: 'another sheet’s',
  clean: 'nothing shows',
} as const;

function mixed(rows: readonly BackRow[]): string {
  const errors = rows.filter(({ dpi }) => dpi[0] !== dpi[1]).map(({ ghosting: g }) => Math.abs(g![0] - g![2]));
  return `${quantile(errors, 0.5).toFixed(2)} / ${quantile(errors, 0.9).toFixed(2)}`;
}

function spread(values: readonly number[]): string {
  return [0, 0.1, 0.5, 0.9, 1].map((q) => quantile(values, q).toFixed(2)).join(' / ');
}
