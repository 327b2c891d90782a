/** Writing samples and swabs, nib by paper; each sample with all that was measured of it. */
import type { QuantityName } from '../../../analysis/quantity.ts';
import type { TracedFinding } from '../../../electron/backend/api.ts';
import { type Bench, type BenchRegion, labOf } from './bench.ts';
import { isOfFilm } from '../../film/ofFilm.ts';
import { type Cell, EMPTY, type FindingsTable, findingCell, type Heading } from './table.ts';

export interface WritingGrid {
  readonly papers: readonly string[];
  readonly rows: readonly SampleRow[];
}

export interface SampleRow {
  readonly key: string;
  readonly words: string;
  readonly detail: string;
  /** One a paper; null: this nib did not write on it. */
  readonly samples: readonly (Sample | null)[];
}

export interface Sample {
  readonly region: string;
  readonly missing: string;
  readonly findings: readonly TracedFinding[];
}

/** What a person can have shown: a figure of written lines and its like of a swab. */
export const WRITING_FIGURES = [
  { key: 'shading', words: 'Shading (of a swab: variation)', quantities: ['shading', 'swabVariation'] },
  { key: 'dL', words: 'Lightness, light end − dark end', quantities: ['shading.dL', 'swabVariation.dL'] },
  { key: 'dHue', words: 'Hue, light end − dark end', quantities: ['shading.dHue'] },
  { key: 'colour', words: 'Colour', quantities: ['inkColour'] },
  { key: 'hue', words: 'Hue', quantities: ['inkColour.hue'] },
  { key: 'chroma', words: 'Chroma', quantities: ['inkColour.chroma'] },
  { key: 'density', words: 'Density above paper', quantities: ['inkDensity'] },
  { key: 'width', words: 'Line width', quantities: ['lineWidth'] },
  { key: 'widthScatter', words: 'Line width, scatter', quantities: ['lineWidth.sd'] },
  { key: 'widthAt60', words: 'Line width at 60 %', quantities: ['lineWidth.at60'] },
  { key: 'spread', words: 'Spread', quantities: ['spread'] },
  { key: 'feathering', words: 'Feathering', quantities: ['feathering'] },
  { key: 'hairs', words: 'Feathering, hairs', quantities: ['feathering.hairs'] },
  { key: 'raggedness', words: 'Raggedness of the edge', quantities: ['raggedness'] },
  { key: 'edgeBlur', words: 'Blur of the edge', quantities: ['edgeBlur'] },
  { key: 'halo', words: 'Halo', quantities: ['halo'] },
  { key: 'haloColour', words: 'Halo, against the paper', quantities: ['halo.dE'] },
  { key: 'haloHue', words: 'Halo, hue', quantities: ['halo.hue'] },
  { key: 'sheen', words: 'Sheen', quantities: ['sheen'] },
  { key: 'layering', words: 'Going over a line', quantities: ['layering'] },
  { key: 'path', words: 'Off the ink’s own path', quantities: ['pathDistance'] },
] as const satisfies readonly { key: string; words: string; quantities: readonly QuantityName[] }[];

export type WritingFigure = (typeof WRITING_FIGURES)[number]['key'];

export function writingFigureOf(quantity: QuantityName): WritingFigure | null {
  return (
    WRITING_FIGURES.find(({ quantities }) => (quantities as readonly QuantityName[]).includes(quantity))?.key ?? null
  );
}

/** @param left findings of one region that no table has taken yet. */
export function writingGrid(bench: Bench): WritingGrid {
  const written = bench.regions.filter(({ region: { kind } }) => kind === 'strokes' || kind === 'swab');
  const papers = [...new Set(written.map(({ paper }) => paper))];
  const rows = new Map<string, (BenchRegion | null)[]>();
  for (const sample of written) {
    const column = papers.indexOf(sample.paper);
    const row = freeRow(rows, sample, column, papers.length);
    row[column] = sample;
  }
  return {
    papers,
    rows: [...rows].map(([key, samples]) => ({ key, ...namesOf(key, samples), samples: samples.map(sampleOf(bench)) })),
  };
}

/** A second sample of the same nib on the same paper opens a second row; so do swabs, which pair by their order. */
function freeRow(
  rows: Map<string, (BenchRegion | null)[]>,
  { region }: BenchRegion,
  column: number,
  columns: number,
): (BenchRegion | null)[] {
  const [kind, nib] = [region.kind, 'nib' in region ? (region.nib ?? '') : ''];
  for (let n = 1; ; n++) {
    const key = `${kind}|${nib}|${n}`;
    const row = rows.get(key);
    if (row && row[column] !== null) continue;
    const open = row ?? Array.from({ length: columns }, () => null);
    rows.set(key, open);
    return open;
  }
}

function namesOf(key: string, samples: readonly (BenchRegion | null)[]): { words: string; detail: string } {
  const [kind, nib, n] = key.split('|');
  const regions = samples.flatMap((s) => (s === null ? [] : [s.region]));
  const shared = sharedStart(regions.map(({ id }) => id));
  const again = n === '1' ? '' : ` (${n})`;
  if (kind === 'swab') return { words: shared || `swab ${n}`, detail: nib === '' ? '' : `${nib}${again}` };
  if (nib === '') return { words: shared || `writing ${n}`, detail: 'nib not named' };
  const widths = new Set(regions.flatMap((r) => ('nibWidthMm' in r ? (r.nibWidthMm ?? []) : [])));
  return { words: `${nib}${again}`, detail: [...widths].map((w) => `${w} mm`).join(', ') };
}

/** What the names of a row's samples begin with alike: 'swab-even' of 'swab-even-white' and 'swab-even-yellow'. */
function sharedStart(ids: readonly string[]): string {
  const [first = ''] = ids;
  if (ids.length === 1) return first;
  let alike = 0;
  while (alike < first.length && ids.every((id) => id[alike] === first[alike])) alike++;
  const start = first.slice(0, alike).replace(/[\s_.·-]+$/, '');
  return start.length < 3 ? '' : start;
}

function sampleOf(bench: Bench): (sample: BenchRegion | null) => Sample | null {
  return (sample) =>
    sample && {
      region: sample.region.id,
      missing: sample.missing,
      findings: bench.findings.filter(
        ({ finding: { quantity, subject } }) => isOf(subject.regions, sample.region.id) && !isOfFilm(quantity),
      ),
    };
}

function isOf(regions: readonly string[], id: string): boolean {
  return regions.length === 1 && regions[0] === id;
}

/**
 * The grid with one figure shown: nibs run down and papers across, or the other way when there are more papers than fit. Samples that no
 * such figure is told of (swabs have no lines to spread) are named under it, instead of standing there blank.
 */
export function writingTable(grid: WritingGrid, figure: WritingFigure): FindingsTable {
  const papers = grid.papers.map((paper): Heading => ({ key: paper, words: paper }));
  const { words, quantities } = WRITING_FIGURES.find(({ key }) => key === figure) ?? WRITING_FIGURES[0];
  const lines = grid.rows.map(({ key, words: name, detail, samples }) => ({
    heading: { key, words: name, ...(detail && { detail }) } satisfies Heading,
    cells: samples.map((sample) => cellOf(sample, quantities)),
    isMeasured: samples.every((sample) => sample === null || sample.findings.length > 0),
  }));
  const isUntold = ({ cells, isMeasured }: (typeof lines)[number]): boolean =>
    isMeasured && cells.every(({ is }) => is === 'empty');
  // Where no sample has the figure at all, the table stands as it is: there is nothing to choose instead.
  const untold = lines.every(isUntold) ? [] : lines.filter(isUntold);
  const shown = lines.filter((line) => !untold.includes(line)).map(({ heading, cells }) => ({ heading, cells }));
  const across = papers.length > 3 && papers.length > shown.length;
  const turned = papers.map((heading, j) => ({ heading, cells: shown.map(({ cells }) => cells[j] ?? EMPTY) }));
  return {
    id: 'writing',
    title: words,
    corner: across ? 'paper' : 'nib',
    columns: across ? shown.map(({ heading }) => heading) : papers,
    groups: [{ heading: null, rows: across ? turned : shown }],
    ...(untold.length > 0 && { remark: `Not told of ${untold.map(({ heading }) => heading.words).join(', ')}` }),
  };
}

function cellOf(sample: Sample | null, quantities: readonly QuantityName[]): Cell {
  if (sample === null) return EMPTY;
  const of = (names: readonly QuantityName[]): TracedFinding | undefined =>
    sample.findings.find(({ finding }) => names.includes(finding.quantity));
  const colour = of(['inkColour']);
  const traced = of(quantities);
  if (traced === undefined) {
    return sample.missing === '' ? EMPTY : { is: 'missing', region: sample.region, words: sample.missing };
  }
  const name = traced === colour ? '' : (colour?.finding.verdict ?? '');
  return findingCell(traced, { swatch: labOf(colour?.finding), name });
}
