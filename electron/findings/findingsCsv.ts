/** Findings as a table for a spreadsheet, one row each. */
import { stringify } from 'csv-stringify/sync';
import type { Quantity } from '../../analysis/quantity.ts';

const COLUMNS = [
  'quantity',
  'regions',
  'band',
  'on',
  'value',
  'L',
  'a',
  'b',
  'unit',
  'u',
  'uL',
  'ua',
  'ub',
  'verdict',
  'flags',
  'method',
] as const;

type Row = Record<(typeof COLUMNS)[number], string | number | null>;

/** Text that begins like a formula gets an apostrophe, since a spreadsheet would run it; numbers stay numbers. */
export function findingsCsv(findings: readonly Quantity[]): string {
  return stringify(findings.map(row), { ...FORMAT, columns: [...COLUMNS] });
}

/** A finding as the window holds it: what it was made from may have changed since. */
interface Standing {
  readonly finding: Quantity;
  readonly current: boolean;
}

/** For a person's spreadsheet, which takes UTF-8 for another encoding unless a mark says it; a last column says what is stale. */
export function standingCsv(findings: readonly Standing[]): string {
  const rows = findings.map(({ finding, current }) => ({ ...row(finding), stale: current ? '' : 'stale' }));
  return stringify(rows, { ...FORMAT, bom: true, columns: [...COLUMNS, 'stale'] });
}

const FORMAT = { header: true, escape_formulas: true, record_delimiter: 'unix' } as const;

function row({ quantity, subject, value, unit, u, verdict, flags, method }: Quantity): Row {
  const [number, lab] = split(value);
  const [uNumber, uLab] = split(u);
  return {
    quantity,
    regions: subject.regions.join('; '),
    band: subject.band ?? null,
    on: subject.on ?? '',
    value: number,
    L: lab[0],
    a: lab[1],
    b: lab[2],
    unit,
    u: uNumber,
    uL: uLab[0],
    ua: uLab[1],
    ub: uLab[2],
    verdict: verdict ?? '',
    flags: flags.join(' '),
    method,
  };
}

function split(value: Quantity['value']): [number | null, readonly [number | null, number | null, number | null]] {
  if (value === null || typeof value === 'number') return [value, [null, null, null]];
  return [null, value];
}
