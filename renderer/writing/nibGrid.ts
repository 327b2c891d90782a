/** Papers down, nibs across: which samples there are, and what to write where there is none. Pure. */
import { stampedOrder } from '../../analysis/report/names.ts';
import type { FindingsReport, SheetRegion, TracedFinding, Work } from '../../electron/backend/api.ts';
import { benchOf } from '../findings/arrange/bench.ts';

export interface NibGrid {
  readonly nibs: readonly NibColumn[];
  readonly papers: readonly PaperRow[];
}

export interface NibColumn {
  readonly key: string;
  /** As its regions name it; null: lines whose nib nobody named. */
  readonly nib: string | null;
  readonly widthMm: number | null;
}

export interface PaperRow {
  readonly paper: string;
  /** One a nib. */
  readonly cells: readonly NibCell[];
}

export interface NibCell {
  /** 'M|yellow': names the cell in the address. */
  readonly key: string;
  readonly samples: readonly NibSample[];
  /** What to write; '' where something is. */
  readonly todo: string;
}

export interface NibSample {
  readonly region: SheetRegion;
  /** Of this region alone, in the order of the report. */
  readonly findings: readonly TracedFinding[];
  /** What it is beside the same pen on a paler paper, and what shows of it on the back of its page. */
  readonly beyond: readonly TracedFinding[];
  /** Why it gives no findings and what to do; '' when it gives some. */
  readonly missing: string;
}

type Strokes = Extract<SheetRegion, { kind: 'strokes' }>;

/** Lines make the columns; a paper with a swab alone has a row, since it waits to be written on. */
export function nibGrid(
  work: Pick<Work, 'scans' | 'regions' | 'job'>,
  report: Pick<FindingsReport, 'findings' | 'problems'>,
): NibGrid {
  const bench = benchOf(work, report);
  const inked = bench.regions.filter(({ region: { kind } }) => kind === 'strokes' || kind === 'swab');
  const papers = [...new Set(inked.map(({ paper }) => paper))];
  const strokes = bench.regions.flatMap((r) => (r.region.kind === 'strokes' ? [{ ...r, region: r.region }] : []));
  const nibs = nibColumns(strokes.map(({ region }) => region));
  const findingsOf = findingsByRegion(report.findings);
  return {
    nibs,
    papers: papers.map((paper) => ({
      paper,
      cells: nibs.map((column): NibCell => {
        const there = strokes.filter((s) => s.paper === paper && columnOf(nibs, s.region) === column);
        return {
          key: `${column.key}|${paper}`,
          samples: there.map(({ region, missing }) => ({
            region,
            missing,
            findings: findingsOf.get(region.id) ?? [],
            beyond: beyondOf(region.id, work, report, findingsOf),
          })),
          todo: there.length > 0 || column.nib === null ? '' : `Write with ${nibNoun(column)} on ${paperNoun(paper)}`,
        };
      }),
    })),
  };
}

/** 'the M nib', or 'the M nib of 0.6 mm' where two bear that name. */
function nibNoun({ nib, key }: NibColumn): string {
  const [, told = ''] = key.split('|');
  return `the ${nib} nib${told === '' ? '' : ` of ${told} mm`}`;
}

/** A paper that nobody named goes by its scan (arrange/bench.ts). */
function paperNoun(paper: string): string {
  return paper.startsWith('paper of “') ? `the ${paper}` : `“${paper}”`;
}

/** From thin to thick; nibs whose width nobody gave after them by their names, lines without a nib last. */
function nibColumns(strokes: readonly Strokes[]): readonly NibColumn[] {
  const names = [...new Set(strokes.map(({ nib }) => nib ?? null))];
  const columns = names.flatMap((nib): NibColumn[] => {
    const widths = [...new Set(strokes.flatMap((s) => ((s.nib ?? null) === nib ? [s.nibWidthMm ?? null] : [])))];
    const known = widths.filter((width) => width !== null);
    if (nib === null) return [{ key: '', nib, widthMm: null }];
    // A width that only some of a nib's regions give is the width of all of them.
    if (known.length < 2) return [{ key: nib, nib, widthMm: known[0] ?? null }];
    return widths.map((widthMm) => ({ key: `${nib}|${widthMm ?? '?'}`, nib, widthMm }));
  });
  return columns.toSorted((a, b) => rank(a) - rank(b) || (a.nib ?? '').localeCompare(b.nib ?? '', 'en'));
}

/** Wider than any nib, mm. */
const BEYOND = 1000;

function rank({ nib, widthMm }: NibColumn): number {
  if (nib === null) return 3 * BEYOND;
  if (widthMm !== null) return widthMm;
  const at = stampedOrder(nib);
  return at < 0 ? 2 * BEYOND : BEYOND + at;
}

function columnOf(nibs: readonly NibColumn[], { nib, nibWidthMm }: Strokes): NibColumn | undefined {
  const named = nibs.filter((column) => column.nib === (nib ?? null));
  return named.length < 2 ? named[0] : named.find(({ widthMm }) => widthMm === (nibWidthMm ?? null));
}

function findingsByRegion(findings: readonly TracedFinding[]): ReadonlyMap<string, readonly TracedFinding[]> {
  const by = new Map<string, TracedFinding[]>();
  for (const traced of findings) {
    const { regions } = traced.finding.subject;
    if (regions.length !== 1) continue;
    const own = by.get(regions[0]) ?? [];
    own.push(traced);
    by.set(regions[0], own);
  }
  return by;
}

/** Of several paler papers the first pair counts, as the report has it: the palest. */
function beyondOf(
  id: string,
  { regions }: Pick<Work, 'regions'>,
  { findings }: Pick<FindingsReport, 'findings'>,
  findingsOf: ReadonlyMap<string, readonly TracedFinding[]>,
): readonly TracedFinding[] {
  const pair = findings.find(
    ({ finding: { quantity, subject } }) => quantity === 'toneShift' && subject.regions[1] === id,
  );
  const pairKey = pair?.finding.subject.regions.join();
  const shifted =
    pairKey === undefined ? [] : findings.filter(({ finding: { subject } }) => subject.regions.join() === pairKey);
  const backs = regions.flatMap(({ region }) => (region.kind === 'reverse' && region.of === id ? [region.id] : []));
  return [...shifted, ...backs.flatMap((back) => findingsOf.get(back) ?? [])];
}

/** How many cells wait to be written. */
export function gaps({ papers }: NibGrid): number {
  return papers.reduce((sum, { cells }) => sum + cells.filter(({ todo }) => todo !== '').length, 0);
}

/** The cell that holds this region's lines; null: none does. */
export function cellOfRegion({ papers }: NibGrid, region: string | undefined): string | null {
  const cells = papers.flatMap((row) => row.cells);
  return cells.find(({ samples }) => samples.some((sample) => sample.region.id === region))?.key ?? null;
}
