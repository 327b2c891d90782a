/** Kinds of page measured over seeds, and the page of docs/study that says how well ink was found on each. */
import { PAGE_KINDS, type PageKind } from './kinds.ts';
import { intersectionOverUnion, measurePageKind } from './measure.ts';
import { PAGE_SIZE_MM, renderPageKind } from './render.ts';

export interface PageKindRow {
  readonly kind: string;
  readonly seed: number;
  readonly dpi: number;
  /** Null where there is no ink. */
  readonly overlap: number | null;
  /** Pixels found that are no ink, and ink pixels missed, % of the ink; on a blank page, pixels found. */
  readonly extra: number;
  readonly missed: number;
}

const RESOLUTIONS = [600, 300] as const;

export async function pageKindRows(seed: number): Promise<readonly PageKindRow[]> {
  return PAGE_KINDS.flatMap((kind) => RESOLUTIONS.map((dpi) => pageKindRow(kind, seed, dpi)));
}

export function pageKindRow(kind: PageKind, seed: number, dpi: number): PageKindRow {
  const page = renderPageKind(kind, seed, dpi);
  const { truth } = page;
  const mask = measurePageKind(page).found?.ink.mask ?? { ...truth, data: new Uint8Array(truth.data.length) };
  let [ink, extra, missed] = [0, 0, 0];
  for (const [i, t] of truth.data.entries()) {
    ink += t;
    if (mask.data[i] > t) extra++;
    if (mask.data[i] < t) missed++;
  }
  const share = ink === 0 ? 1 : 100 / ink;
  const overlap = kind.goal === null ? null : intersectionOverUnion(mask, truth);
  return { kind: kind.name, seed, dpi, overlap, extra: extra * share, missed: missed * share };
}

export function pageKindsPage(rows: readonly PageKindRow[], firstSeed: number, seeds: number): string {
  return [
    '# Ink found on kinds of page',
    '',
    `Made by \`npm run study page-kinds ${seeds}\`: ${seeds} seeds from ${firstSeed} on, which nothing was tuned on; a seed draws ink, paper, print, scanner, hand, nib`,
    `(0.4, 0.65 or 1.1 mm) and what is written. Pages of ${PAGE_SIZE_MM.join(' × ')} mm from the generator of the sample scans (study/pageKinds): print lies under the ink, its ink is a`,
    'film like the writing’s, its pitch never varies, its edges and strength do; sheets lie up to 0.9° askew and rules bow by up to 0.08 mm.',
    '',
    'The exact mask: cells of at least 900 an inch, an odd number along a pixel, that hold more than half of their own stroke’s dose, a pixel being ink when most of its cells are. The figure is',
    'intersection over union of the mask found with it. An edge that lies a fifth of a pixel too far out all around costs 0.04 on a line of 10 pixels. _Extra_ and _missed_ are means, in per cent of',
    'the ink. Where nothing is written, the figure is the pages on which ink was found nevertheless.',
    '',
    '| page | goal at 600 dpi | 600 dpi: mean | 10th percentile | lowest | extra, missed | 300 dpi: mean | 10th percentile | extra, missed |',
    '| --- | --- | --- | --- | --- | --- | --- | --- | --- |',
    ...PAGE_KINDS.map((kind) => {
      const of = (dpi: number) => rows.filter((r) => r.kind === kind.name && r.dpi === dpi);
      const [fine, coarse] = RESOLUTIONS.map(of);
      const cells =
        kind.goal === null
          ? ['none found', foundOn(fine), '', '', '', foundOn(coarse), '', '']
          : [
              `${kind.goal}`,
              ...[mean(overlaps(fine)), at(overlaps(fine), 0.1), at(overlaps(fine), 0)].map((v) => v.toFixed(3)),
              offBy(fine),
              ...[mean(overlaps(coarse)), at(overlaps(coarse), 0.1)].map((v) => v.toFixed(3)),
              offBy(coarse),
            ];
      return `| ${[kind.words, ...cells].join(' | ')} |`;
    }),
    '',
  ].join('\n');
}

function overlaps(rows: readonly PageKindRow[]): number[] {
  return rows.flatMap(({ overlap }) => (overlap === null ? [] : [overlap])).toSorted((a, b) => a - b);
}

function offBy(rows: readonly PageKindRow[]): string {
  return `${mean(rows.map((r) => r.extra)).toFixed(1)}, ${mean(rows.map((r) => r.missed)).toFixed(1)}`;
}

function foundOn(rows: readonly PageKindRow[]): string {
  return `${rows.filter((r) => r.extra > 0).length} of ${rows.length}`;
}

function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / Math.max(1, values.length);
}

/** Of sorted values. */
function at(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
}
