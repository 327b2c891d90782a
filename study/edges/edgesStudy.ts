/** `npm run study edges`: edges of drawn strokes and of handwriting over unseen seeds, into docs/study/edges.md. */
import { writtenEdges } from './handwriting.ts';
import { type EdgeRow, edgeRows, uOf } from './trial.ts';
import { EDGE_KINDS, type EdgeKind } from './worlds.ts';

export interface StudyRow extends Omit<EdgeRow, 'kind' | 'quantity'> {
  readonly kind: string;
  readonly quantity: string;
}

/** What has edges that are hardest to tell is drawn more often. */
const ONCE_MORE: readonly EdgeKind[] = ['hairs', 'halo', 'stub'];

/** Drawn worlds at 300 dpi, some also at 600 dpi; every third seed also as handwriting. Of 120 seeds 30 and 15 cases at least of each hard kind. */
export function edgeStudyRows(seed: number): StudyRow[] {
  const kind = EDGE_KINDS[seed % EDGE_KINDS.length];
  const more = seed % 2 === 1 ? ONCE_MORE[(seed >> 1) % ONCE_MORE.length] : kind;
  return [
    ...edgeRows(seed, 300, kind),
    ...(more === kind ? [] : edgeRows(seed, 300, more)),
    ...(seed % 3 === 0 ? edgeRows(seed, 600, kind) : []),
    ...(more !== kind && seed % 4 === 1 ? edgeRows(seed, 600, more) : []),
    ...(seed % 3 === 0 ? handwritingRows(seed, 300) : []),
  ];
}

function handwritingRows(seed: number, dpi: number): StudyRow[] {
  const { measure, lineWidth, sd } = writtenEdges(seed, dpi);
  const row = (quantity: string, truth: number): StudyRow => {
    const found = measure.quantities.find((q) => q.quantity === quantity);
    const value = found?.value;
    return {
      seed,
      dpi,
      kind: 'handwriting',
      quantity,
      truth,
      value: typeof value === 'number' ? value : null,
      u: found ? uOf(found) : null,
    };
  };
  return [row('lineWidth', lineWidth), row('lineWidth.sd', sd), row('feathering', 0), row('halo', 0)];
}

/** Median and 90th percentile that were aimed at, and what every case is to keep. */
const AIMS: Readonly<Record<string, string>> = {
  'lineWidth 300 no halo': '0.008 / 0.015',
  'lineWidth 300 halo': '– / 0.030',
  'lineWidth 600 no halo': '0.004 / 0.008',
  'lineWidth 600 halo': '– / 0.015',
  'lineWidth 300 handwriting': '0.012 / 0.025',
  'feathering 300 hairs': '0.03',
  'feathering 300 no hairs': '0.03',
  'feathering 300 handwriting': '0.03',
  'feathering 600 hairs': '0.015',
  'feathering 600 no hairs': '0.03',
  'halo 300 halo': '0.03',
  'halo 600 halo': '0.015',
  'halo colour 300 halo': '1.5 ΔE00',
  'halo colour 600 halo': '1.5 ΔE00',
};

export function edgesPage(rows: readonly StudyRow[], firstSeed: number, seeds: number): string {
  const cases: [string, (row: StudyRow) => boolean][] = [300, 600].flatMap((dpi) => [
    at('lineWidth', dpi, 'no halo', (k) => k !== 'halo' && k !== 'handwriting'),
    at('lineWidth', dpi, 'halo', (k) => k === 'halo'),
    at('lineWidth', dpi, 'stub', (k) => k === 'stub'),
    at('lineWidth', dpi, 'yellow on grey', (k) => k === 'yellow on grey'),
    at('lineWidth', dpi, 'handwriting', (k) => k === 'handwriting'),
    at('lineWidth.sd', dpi, 'all', (k) => k !== 'handwriting'),
    at('lineWidth.sd', dpi, 'handwriting', (k) => k === 'handwriting'),
    at('raggedness', dpi, 'all', () => true),
    at('raggedness', dpi, 'hairs', (k) => k === 'hairs'),
    at('raggedness', dpi, 'sine', (k) => k === 'sine'),
    at('raggedness', dpi, 'rough', (k) => k === 'rough'),
    at('feathering', dpi, 'hairs', (k) => k === 'hairs'),
    at('feathering', dpi, 'no hairs', (k) => k !== 'hairs' && k !== 'handwriting'),
    at('feathering', dpi, 'handwriting', (k) => k === 'handwriting'),
    at('feathering.hairs', dpi, 'hairs', (k) => k === 'hairs'),
    at('edgeBlur', dpi, 'soft', (k) => k === 'soft'),
    at('edgeBlur', dpi, 'all', () => true),
    at('halo', dpi, 'halo', (k) => k === 'halo'),
    at('halo', dpi, 'no halo', (k) => k !== 'halo'),
    at('halo.dE', dpi, 'halo', (k) => k === 'halo'),
    at('halo colour', dpi, 'halo', (k) => k === 'halo'),
  ]);
  const lines = cases.flatMap(([name, isIn]) => {
    const some = rows.filter(isIn);
    return some.length === 0 ? [] : [tableRow(name, some)];
  });
  const ragged = rows.filter((r) => r.quantity === 'raggedness' && r.dpi === 300 && r.value !== null);
  const within = ragged.filter((r) => Math.abs(r.value! - r.truth) <= Math.max(0.004, 0.12 * r.truth)).length;
  return [
    '# Edges of strokes',
    '',
    `Drawn strokes whose edges are known exactly (straight, bent, waves, a stub that turns; smooth, rough and sine edges, hairs,`,
    `rings, soft edges, yellow ink on grey paper; nibs of 0.35 to 1.1 mm, scanners blurred by 0.5 to 0.9 px at 300 dpi, 8 bit at 300`,
    `and 16 bit at 600 dpi), and handwriting by the sample's generator with round nibs. ${seeds} seeds from ${firstSeed}, looked at once: nothing`,
    `was chosen on them. Made by \`npm run study edges ${seeds} ${firstSeed}\`; code in [study/edges](../../study/edges/edgesStudy.ts).`,
    '',
    'u is given here without the part that a target’s curves and the scan’s scale add, since drawings are read without a target; that of `edgeBlur` whole, since the scanner’s',
    'blur is told with an error of 2.5 % as a card’s may be. Truth of handwriting’s widths is over all that was written but the ends, crossings included.',
    '',
    'Errors are absolute, in mm (hairs per cm, ΔE00 where said). Truth of `raggedness` is the standard deviation that was drawn, not that of the one edge',
    'that came of it. A ring that is not there has no colour; a missing value counts as missing. Where the truth is 0 (no ring, no hairs, no blur of the ink’s own)',
    'and so is nearly every value, u is what could hide there, and all cases lie within. A colour’s distance has no u of its own.',
    '',
    '| quantity, dpi, kind | n | missing | median | 90 % | largest | bias | median u | within ± 2u | aim |',
    '| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | --- |',
    ...lines,
    '',
    `Raggedness at 300 dpi lies within the larger of 4 µm and 12 % in ${percent(within, ragged.length)} of ${ragged.length} cases (aim 90 %).`,
    `Over all quantities truth lies within ± 2u in ${covered(rows)} of the cases (aim 90 to 99 %).`,
  ].join('\n');
}

function at(
  quantity: string,
  dpi: number,
  kind: string,
  isKind: (kind: string) => boolean,
): [string, (row: StudyRow) => boolean] {
  return [`${quantity} ${dpi} ${kind}`, (row) => row.quantity === quantity && row.dpi === dpi && isKind(row.kind)];
}

function tableRow(name: string, rows: readonly StudyRow[]): string {
  const told = rows.filter((r) => r.value !== null);
  const errors = told.map((r) => Math.abs(r.value! - r.truth)).toSorted((a, b) => a - b);
  const us = told.flatMap((r) => r.u ?? []).toSorted((a, b) => a - b);
  const bias = told.reduce((sum, r) => sum + (r.value! - r.truth), 0) / Math.max(1, told.length);
  const cell = (v: number | undefined) => (v === undefined ? '–' : v.toFixed(v >= 1 ? 2 : 4));
  const pick = (list: readonly number[], p: number) => list[Math.min(list.length - 1, Math.floor(p * list.length))];
  return `| ${name} | ${rows.length} | ${rows.length - told.length} | ${cell(pick(errors, 0.5))} | ${cell(pick(errors, 0.9))} | ${cell(errors.at(-1))} | ${bias.toFixed(4)} | ${cell(pick(us, 0.5))} | ${covered(rows)} | ${AIMS[name] ?? ''} |`;
}

function covered(rows: readonly StudyRow[]): string {
  const told = rows.filter((r) => r.value !== null && r.u !== null);
  return percent(told.filter((r) => Math.abs(r.value! - r.truth) <= 2 * r.u!).length, told.length);
}

function percent(part: number, of: number): string {
  return of === 0 ? '–' : `${((100 * part) / of).toFixed(0)} %`;
}
