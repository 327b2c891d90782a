/** toneShift and its parts, one table for each pair of papers: a row for every nib or swab that lies on both. */
import type { QuantityName } from '../../../analysis/quantity.ts';
import { type Bench, type BenchRegion, findingOf } from './bench.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import { quantityHeading } from './quantityHeadings.ts';
import { EMPTY, type FindingsTable, findingCell, type Heading, type Row } from './table.ts';

const TONE: readonly QuantityName[] = [
  'toneShift',
  'toneShift.adapted',
  'toneShift.dL',
  'toneShift.dC',
  'toneShift.dHue',
  'hiding',
];

export function toneTables(bench: Bench, rowWords: (region: string) => string | null): readonly FindingsTable[] {
  const of = (id: string): BenchRegion | undefined => bench.regions.find((r) => r.region.id === id);
  const tables = new Map<string, { papers: readonly [string, string]; pairs: Map<string, readonly string[]> }>();
  for (const { finding } of bench.findings) {
    if (!TONE.includes(finding.quantity)) continue;
    const [first, second] = finding.subject.regions.map(of);
    if (!first || !second) continue;
    const key = JSON.stringify([first.paper, second.paper]);
    const table = tables.get(key) ?? { papers: [first.paper, second.paper] as const, pairs: new Map() };
    tables.set(key, table);
    table.pairs.set(JSON.stringify(finding.subject.regions), finding.subject.regions);
  }
  return [...tables].map(([key, { papers, pairs }]) => ({
    id: `tone|${key}`,
    title: `${papers[0]} → ${papers[1]}`,
    corner: 'nib',
    columns: TONE.map((quantity) => columnOf(bench, quantity)),
    groups: [{ heading: null, rows: [...pairs.values()].map((pair) => rowOf(bench, pair, rowWords)) }],
  }));
}

function columnOf(bench: Bench, quantity: QuantityName): Heading {
  const any = bench.findings.find(({ finding }) => finding.quantity === quantity);
  const unit = any ? unitMark(any.finding.unit) : '';
  return { key: quantity, words: quantityHeading(quantity), ...(unit && { unit }) };
}

function rowOf(bench: Bench, pair: readonly string[], rowWords: (region: string) => string | null): Row {
  return {
    heading: { key: pair.join(' '), words: rowWords(pair[0]) ?? pair.join(', ') },
    cells: TONE.map((quantity) => {
      const traced = findingOf(bench, quantity, pair);
      return traced ? findingCell(traced) : EMPTY;
    }),
  };
}
