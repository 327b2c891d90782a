import { type Row, summarise } from './accuracy.ts';

/** What each figure has to reach on rendered scans: [median, 90th percentile]; null where no figure is set. */
const GOALS: Readonly<Record<string, readonly [number | null, number | null]>> = {
  shading: [0.5, null],
  toneShift: [0.5, 1.8],
  bandPosition: [null, 0.005],
};

/** The table of docs/study/accuracy.md. */
export function accuracyPage(rows: readonly Row[], firstSeed: number, seeds: number): string {
  const lines = summarise(rows).map((s) => {
    const [median, p90] = GOALS[s.quantity] ?? [null, null];
    const goal = [median === null ? '' : `median ≤ ${median}`, p90 === null ? '' : `90th ≤ ${p90}`]
      .filter(Boolean)
      .join(', ');
    const met = (median === null || s.median <= median) && (p90 === null || s.p90 <= p90);
    return `| ${s.quantity} | ${s.n} | ${s.missing} | ${figure(s.median)} | ${figure(s.p90)} | ${figure(s.largest)} | ${figure(s.medianU)} | ${s.coveredPercent.toFixed(1)} % | ${goal ? `${goal}: ${met ? 'met' : 'missed'}` : ''} |`;
  });
  return [
    '# Accuracy on rendered scans',
    '',
    `Made by \`npm run study accuracy ${seeds}\`: whole benches of the generator in sample-scans/ (seeds ${firstSeed} to ${firstSeed + seeds - 1}, on which nothing was tuned),`,
    'each with its own ink, papers, card, hand, scanner and strips; rendered, written to files, measured as the command line does, and compared',
    'with the exact truth. Errors of colours in ΔE00, all others in the quantity’s own unit. "u" is the median standard uncertainty (for colours the',
    'three components together); the last but one column is the share of figures (for colours: components) whose truth lies within ± 2u.',
    '',
    '| quantity | n | no value | median error | 90th percentile | largest | u | within ± 2u | goal |',
    '| --- | --- | --- | --- | --- | --- | --- | --- | --- |',
    ...lines,
    '',
    ...filmLines(rows),
  ].join('\n');
}

/** Both ways for what was told through the film. */
function filmLines(rows: readonly Row[]): string[] {
  const told = rows.filter(({ byMap }) => byMap !== null);
  const map = summarise(told.map((row): Row => ({ ...row, ...row.byMap })));
  const lines = summarise(told).map((s, i) => {
    const other = map[i];
    const of = rows.filter(({ quantity }) => quantity === s.quantity).length;
    const errors = [s, other].map(({ median, p90 }) => `${figure(median)} | ${figure(p90)}`).join(' | ');
    return `| ${s.quantity} | ${s.n} of ${of} | ${errors} | ${s.coveredPercent.toFixed(1)} % | ${other.coveredPercent.toFixed(1)} % |`;
  });
  if (lines.length === 0) return [];
  return [
    '## Film and map',
    '',
    'What was told [through the film](../measures.md#the-ink-as-a-film), and the same through the target’s map.',
    '',
    '| quantity | through the film | median error, film | 90th percentile | median error, map | 90th percentile | within ± 2u, film | map |',
    '| --- | --- | --- | --- | --- | --- | --- | --- |',
    ...lines,
    '',
  ];
}

function figure(value: number): string {
  return Number.isFinite(value) ? value.toPrecision(2) : '–';
}
