/** Strips side by side, band by band, with what changed from a fresh to a dried one. */
import type { QuantityName } from '../../../analysis/quantity.ts';
import type { TracedFinding } from '../../../electron/backend/api.ts';
import { type Bench, type BenchRegion, findingOf } from './bench.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import { quantityHeading } from './quantityHeadings.ts';
import { type Cell, EMPTY, type FindingsTable, findingCell, type Heading, type Row, type RowGroup } from './table.ts';

interface Line {
  readonly ofStrip: QuantityName | null;
  readonly ofPair: QuantityName | null;
}

const OF_BAND: readonly Line[] = [
  { ofStrip: 'bandPosition', ofPair: 'runShift' },
  { ofStrip: 'bandShare', ofPair: 'runShift.share' },
  { ofStrip: 'bandColour', ofPair: null },
  { ofStrip: 'bandWidth', ofPair: null },
  { ofStrip: 'bandTail', ofPair: null },
  { ofStrip: 'bandPosition.centroid', ofPair: null },
  { ofStrip: 'bandResolution', ofPair: null },
];
const OF_RUN: readonly Line[] = [
  { ofStrip: 'originRetained', ofPair: 'runShift.originRetained' },
  { ofStrip: null, ofPair: 'runShift.front' },
  { ofStrip: 'frontSpeed', ofPair: 'frontSpeed.line' },
];

type Column =
  | { readonly strip: BenchRegion; readonly heading: Heading }
  | { readonly pair: readonly string[]; readonly heading: Heading };

/** Null: there is no strip. */
export function stripTable(bench: Bench): FindingsTable | null {
  const strips = bench.regions.filter(({ region }) => region.kind === 'strip');
  if (strips.length === 0) return null;
  const columns: readonly Column[] = [...strips.toSorted(byRun).map(stripColumn), ...pairColumns(bench, strips)];
  const bands = bandNumbers(bench, strips);
  const groups = bands.map((band): RowGroup => ({
    heading: { key: `band ${band}`, words: `Band ${band}` },
    // The last band is resolved from none; a line without a figure says nothing.
    rows: rowsOf(bench, columns, OF_BAND, band).filter(({ cells }) => cells.some((cell) => cell !== EMPTY)),
  }));
  // A strip without any band still tells so: its numbers are null and carry the flag.
  const whole = [...OF_BAND, ...OF_RUN].filter(
    ({ ofStrip, ofPair }) =>
      columns.some((column) => cellFinding(bench, column, ofStrip, ofPair)) || ofStrip === OF_RUN[0].ofStrip,
  );
  return {
    id: 'strips',
    title: 'Strips',
    corner: 'quantity',
    columns: columns.map(({ heading }) => heading),
    groups: [...groups, { heading: { key: 'run', words: 'The whole run' }, rows: rowsOf(bench, columns, whole) }],
  };
}

function byRun(a: BenchRegion, b: BenchRegion): number {
  return runOrder(a) - runOrder(b);
}
function runOrder({ region }: BenchRegion): number {
  return region.kind !== 'strip' ? 3 : region.run === 'fresh' ? 0 : region.run === 'dried' ? 1 : 2;
}

function stripColumn(strip: BenchRegion): Column {
  const run = strip.region.kind === 'strip' ? strip.region.run : undefined;
  const detail = run === undefined || run === strip.region.id ? undefined : strip.region.id;
  return { strip, heading: { key: strip.region.id, words: run ?? strip.region.id, ...(detail && { detail }) } };
}

function pairColumns(bench: Bench, strips: readonly BenchRegion[]): readonly Column[] {
  const pairs = new Map<string, readonly string[]>();
  const lines: (readonly string[])[] = [];
  for (const { finding } of bench.findings) {
    const { regions } = finding.subject;
    if (!regions.every((id) => strips.some((s) => s.region.id === id))) continue;
    if (finding.quantity.startsWith('runShift')) pairs.set(JSON.stringify(regions), regions);
    if (finding.quantity === 'frontSpeed.line') lines.push(regions);
  }
  return [
    ...[...pairs.values()].map((pair) => ({
      pair,
      heading: { key: pair.join(' '), words: 'change', ...(pairs.size > 1 && { detail: pair.join(' → ') }) },
    })),
    // One line through the fronts of several strips: a column of its own beside theirs.
    ...lines.map((pair) => ({
      pair,
      heading: { key: `line ${pair.join(' ')}`, words: 'line', detail: `through ${pair.length} fronts` },
    })),
  ];
}

function bandNumbers(bench: Bench, strips: readonly BenchRegion[]): readonly number[] {
  const numbers = bench.findings.flatMap(({ finding: { subject } }) =>
    subject.band !== undefined && subject.regions.every((id) => strips.some((s) => s.region.id === id))
      ? [subject.band]
      : [],
  );
  return [...new Set(numbers)].toSorted((a, b) => a - b);
}

function rowsOf(bench: Bench, columns: readonly Column[], lines: readonly Line[], band?: number): readonly Row[] {
  return lines.map(({ ofStrip, ofPair }, line): Row => {
    const found = columns.map((column) => cellFinding(bench, column, ofStrip, ofPair, band));
    const any = found.find((f) => f !== undefined);
    const unit = any ? unitMark(any.finding.unit) : '';
    const quantity = ofStrip ?? ofPair ?? 'runShift';
    return {
      heading: { key: `${quantity} ${band ?? ''}`, words: quantityHeading(quantity), ...(unit && { unit }) },
      cells: columns.map((column, i): Cell => {
        const traced = found[i];
        if (traced) return findingCell(traced, { remark: 'pair' in column ? partnerWords(bench, traced) : '' });
        const missing = 'strip' in column && band === undefined && line === 0 ? column.strip.missing : '';
        return missing !== '' && 'strip' in column
          ? { is: 'missing', region: column.strip.region.id, words: missing }
          : EMPTY;
      }),
    };
  });
}

function cellFinding(
  bench: Bench,
  column: Column,
  ofStrip: QuantityName | null,
  ofPair: QuantityName | null,
  band?: number,
): TracedFinding | undefined {
  if ('pair' in column) return ofPair === null ? undefined : findingOf(bench, ofPair, column.pair, band);
  return ofStrip === null ? undefined : findingOf(bench, ofStrip, [column.strip.region.id], band);
}

/** A change bears the fresh strip's band; when its partner on the dried one has another number, that is said. */
function partnerWords(bench: Bench, { finding }: TracedFinding): string {
  const { regions, band } = finding.subject;
  if (finding.quantity !== 'runShift' || band === undefined || typeof finding.value !== 'number') return '';
  const own = findingOf(bench, 'bandPosition', [regions[0]], band)?.finding.value;
  if (typeof own !== 'number') return '';
  const moved = own + finding.value;
  const partner = bench.findings.find(
    ({ finding: f }) =>
      f.quantity === 'bandPosition' &&
      f.subject.regions.length === 1 &&
      f.subject.regions[0] === regions[1] &&
      typeof f.value === 'number' &&
      Math.abs(f.value - moved) < ROUNDED,
  );
  return partner === undefined || partner.finding.subject.band === band
    ? ''
    : `to band ${partner.finding.subject.band}`;
}

/** Findings carry six digits. */
const ROUNDED = 1e-5;
