/** Whole curves behind findings (absorption by wavelength, colour by dose) as a table for a spreadsheet: one row a value. */
import { stringify } from 'csv-stringify/sync';
import type { Quantity } from '../../analysis/quantity.ts';

const COLUMNS = ['quantity', 'regions', 'along', 'at', 'atUnit', 'name', 'value', 'unit', 'u'] as const;

type Row = Record<(typeof COLUMNS)[number], string | number>;

/** Findings without a curve have no row. */
export function curvesCsv(findings: readonly Quantity[]): string {
  return stringify(findings.flatMap(rows), {
    header: true,
    columns: [...COLUMNS],
    bom: false,
    escape_formulas: true,
    record_delimiter: 'unix',
  });
}

function rows({ quantity, subject, curve }: Quantity): Row[] {
  if (curve === undefined) return [];
  const { x, y } = curve;
  return y.flatMap(({ name, unit, values, u }) =>
    values.map((value, i): Row => ({
      quantity,
      regions: subject.regions.join('; '),
      along: x.name,
      at: x.values[i],
      atUnit: x.unit,
      name,
      value,
      unit,
      u: u[i],
    })),
  );
}
