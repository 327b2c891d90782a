/** Which columns of a reference are spectral reflectances, on what grid and in what scale. */
import type { CgatsTable } from './cgats.ts';

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

export function spectralColumns(
  table: CgatsTable,
  refuse: (code: string, message: string) => never,
): SpectralColumns | null {
  const found = table.columns
    .map((name, column) => ({ name, column, nm: Number(NAME.exec(name)?.[1]) }))
    .filter(({ nm }) => nm >= 200 && nm <= 2600)
    .sort((a, b) => a.nm - b.nm);
  if (found.length < 3) return null;
  const stepNm = found[1].nm - found[0].nm;
  const gap = found.findIndex(({ nm }, i) => i > 0 && nm - found[i - 1].nm !== stepNm);
  if (gap > 0) {
    refuse(
      'reference-spectra',
      `its wavelengths step by ${stepNm} nm at first but from ${found[gap - 1].nm} to ${found[gap].nm} nm later; expected even steps.`,
    );
  }
  const [first, last] = [found[0].nm, found[found.length - 1].nm];
  if (first > 420 || last < 680 || stepNm > 20) {
    refuse(
      'reference-spectra',
      `its spectra run from ${first} to ${last} nm in steps of ${stepNm}; expected at least 420 to 680 nm in steps of 20 or less.`,
    );
  }
  const columns = found.map(({ column }) => column);
  return { firstNm: first, stepNm, columns, scale: scaleOf(table, columns, refuse) };
}

/** Reflectance comes as 0..1 or in per cent: SPECTRAL_NORM says, else the lightest patch tells, unless all are dark. */
function scaleOf(
  table: CgatsTable,
  columns: readonly number[],
  refuse: (code: string, message: string) => never,
): number {
  const stated = Number(table.header.find(({ keyword }) => keyword === 'SPECTRAL_NORM')?.value);
  if (stated > 0) return 1 / stated;
  let largest = 0;
  for (const { values } of table.rows)
    for (const c of columns) largest = Math.max(largest, table.toNumber(values[c]) || 0);
  if (largest > 2.5) return 0.01;
  if (largest >= 0.3 && largest <= 1.5) return 1;
  return refuse(
    'reference-scale',
    `its largest reflectance is ${largest}; expected a light patch, to tell whether white is 100 or 1. Add SPECTRAL_NORM "1.0" or "100.0".`,
  );
}
