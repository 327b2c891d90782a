/** All findings of an ink in their tables; each has exactly one place. */
import type { TracedFinding } from '../../../electron/backend/api.ts';
import type { Bench } from './bench.ts';
import { filmTable } from './filmTable.ts';
import { nibTables } from './nibTables.ts';
import { opacityTable } from './opacityTable.ts';
import { paperTable } from './paperTable.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import { quantityHeading } from './quantityHeadings.ts';
import { reverseTable } from './reverseTable.ts';
import { stripTable } from './stripTable.ts';
import { findingCell, type FindingsTable, findingsIn } from './table.ts';
import { toneTables } from './toneTables.ts';
import { type WritingGrid, writingGrid } from './writingGrid.ts';

export interface Arrangement {
  readonly writing: WritingGrid;
  /** One a paper. */
  readonly nibs: readonly FindingsTable[];
  /** One a pair of papers. */
  readonly tones: readonly FindingsTable[];
  readonly papers: FindingsTable | null;
  readonly strips: FindingsTable | null;
  /** Backs of pages. */
  readonly reverses: FindingsTable | null;
  /** What lies under the ink, and what it will look like elsewhere. */
  readonly opacity: FindingsTable | null;
  readonly film: FindingsTable | null;
  /** What no other table takes: of regions that are no longer there, of kinds that this page does not know. */
  readonly others: FindingsTable | null;
}

export function arrangeFindings(bench: Bench): Arrangement {
  const writing = writingGrid(bench);
  const rowWords = (region: string): string | null =>
    writing.rows.find(({ samples }) => samples.some((s) => s?.region === region))?.words ?? null;
  const own = {
    writing,
    nibs: nibTables(bench),
    tones: toneTables(bench, rowWords),
    papers: paperTable(bench),
    strips: stripTable(bench),
    reverses: reverseTable(bench),
    opacity: opacityTable(bench, rowWords),
    film: filmTable(bench),
  };
  const placed = new Set(placedFindings({ ...own, others: null }).map(({ key }) => key));
  return { ...own, others: othersTable(bench.findings.filter(({ key }) => !placed.has(key))) };
}

/** Every finding as often as it has a place. */
export function placedFindings(all: Arrangement): readonly TracedFinding[] {
  const tables = [...all.nibs, ...all.tones, all.papers, all.strips, all.reverses, all.opacity, all.film, all.others];
  return [
    ...all.writing.rows.flatMap(({ samples }) => samples.flatMap((sample) => sample?.findings ?? [])),
    ...tables.flatMap((table) => (table === null ? [] : findingsIn(table))),
  ];
}

function othersTable(left: readonly TracedFinding[]): FindingsTable | null {
  if (left.length === 0) return null;
  return {
    id: 'others',
    title: 'Others',
    corner: 'of',
    columns: [{ key: 'value', words: 'value' }],
    groups: [
      {
        heading: null,
        rows: left.map((traced) => {
          const { quantity, subject, unit } = traced.finding;
          const of = `${subject.regions.join(', ')}${subject.band === undefined ? '' : ` band ${subject.band}`}`;
          const words = unitMark(unit);
          return {
            heading: { key: traced.key, words: `${quantityHeading(quantity)}, ${of}`, ...(words && { unit: words }) },
            cells: [findingCell(traced)],
          };
        }),
      },
    ],
  };
}
