/** Which columns of a reference are spectral reflectances, on what grid and in what scale. */
import { type CgatsTable, type Refuse, shown } from './cgats.ts';
import type { ReadNumber } from './cgatsNumbers.ts';

export interface SpectralColumns {
  readonly firstNm: number;
  readonly stepNm: number;
  /** Column numbers from the shortest wavelength up. */
  readonly columns: readonly number[];
  /** What brings the file's values to 0..1. */
  readonly scale: number;
}

/** SPECTRAL_NM_380, SPECTRAL_NM380, SPECTRAL_380, SPEC_380, NM380, R_380, R380NM, 380. */
const NAME = /^(?:SPECTRAL_NM_?|SPECTRAL_?|SPEC_?|NM_?|R_?)?(\d{3,4})(?:\.0+)?(?:_?NM)?$/;

/** What reflectances of 0..1 come to under a stated scale of 100: no target is as dark as that. */
const MISSTATED = 0.012;

/** Instruments read nearly nothing as slightly less than nothing. Of the largest reflectance. */
const MOST_BELOW = -0.05;

/** Fewer are no spectrum but something else with numbers in its name. */
const FEWEST = 3;

export function hasSpectra(table: CgatsTable): boolean {
  return columnsOf(table).length >= FEWEST;
}

export function spectralColumns(table: CgatsTable, read: ReadNumber, refuse: Refuse): SpectralColumns | null {
  const found = columnsOf(table);
  if (found.length < FEWEST) return null;
  const stepNm = found[1].nm - found[0].nm;
  const gap = found.findIndex(({ nm }, i) => i > 0 && nm - found[i - 1].nm !== stepNm);
  if (gap > 0 || stepNm === 0) {
    const to = Math.max(1, gap);
    refuse(
      'reference-spectra',
      `line ${table.line}: its wavelengths step by ${stepNm} nm at first but from ${found[to - 1].nm} to ${found[to].nm} nm later; expected even steps. Export the spectra in steps of 5, 10 or 20 nm.`,
    );
  }
  const [first, last] = [found[0].nm, found[found.length - 1].nm];
  if (first > 420 || last < 680 || stepNm > 20) {
    refuse(
      'reference-spectra',
      `line ${table.line}: its spectra run from ${first} to ${last} nm in steps of ${stepNm}; expected at least 420 to 680 nm in steps of 20 or less.`,
    );
  }
  const columns = found.map(({ column }) => column);
  return { firstNm: first, stepNm, columns, scale: scaleOf(table, columns, read, refuse) };
}

function columnsOf(table: CgatsTable): { readonly column: number; readonly nm: number }[] {
  return table.columns
    .map((name, column) => ({ column, nm: Number(NAME.exec(name)?.[1]) }))
    .filter(({ nm }) => nm >= 200 && nm <= 2600)
    .sort((a, b) => a.nm - b.nm);
}

/** Reflectance comes as 0..1 or in per cent: SPECTRAL_NORM says, else the lightest patch tells, unless all are dark. */
function scaleOf(table: CgatsTable, columns: readonly number[], read: ReadNumber, refuse: Refuse): number {
  const norm = table.header.find(({ keyword }) => keyword === 'SPECTRAL_NORM');
  const stated = Number(norm?.value);
  let largest = 0;
  for (const row of table.rows) for (const c of columns) largest = Math.max(largest, read(row, c));
  for (const row of table.rows) {
    const below = columns.find((c) => read(row, c) < MOST_BELOW * largest);
    if (below === undefined) continue;
    refuse(
      'reference-range',
      `line ${row.line}: ${shown(table.columns[below])} is ${read(row, below)}; expected a reflectance of 0 or more. Check the columns.`,
    );
  }
  if (norm && stated > 0 && Number.isFinite(stated)) {
    if (largest / stated > MISSTATED) return 1 / stated;
    return refuse(
      'reference-scale',
      `line ${norm.line}: SPECTRAL_NORM says that white is ${shown(norm.value)}, but the largest reflectance is ${largest}; expected one scale. Correct SPECTRAL_NORM.`,
    );
  }
  if (largest > 2.5) return 0.01;
  if (largest >= 0.3 && largest <= 1.5) return 1;
  return refuse(
    'reference-scale',
    `line ${table.line}: its largest reflectance is ${largest}; expected a light patch, to tell whether white is 100 or 1. Add SPECTRAL_NORM "1.0" or "100.0".`,
  );
}
