/** One ink on one ground: dose → channel signals and XYZ, in a table, because millions of pixels ask. */
import type { Xyz } from '../../analysis/colour/lab.ts';
import { filmCurve } from './film.ts';
import type { Ink } from './ink.ts';
import type { Scanner } from './scanner.ts';
import { toSignal } from './scanner.ts';
import { curve, toXyz } from './spectra.ts';
import type { Curve } from './spectra.ts';

const ENTRIES = 2048;
/** Doses beyond are read as this one; nothing here lays down so much. */
export const LARGEST_DOSE = 14;

export interface DoseTable {
  /** Entry of dose d: √(d · perDose); the entries crowd where the curve is steep. */
  readonly perDose: number;
  readonly last: number;
  /** Interleaved, 3 per entry. */
  readonly signal: Float32Array;
  readonly xyz: Float64Array;
}

export function doseTable(ink: Ink, ground: Curve, scanner: Scanner): DoseTable {
  const signal = new Float32Array(3 * ENTRIES);
  const xyz = new Float64Array(3 * ENTRIES);
  const film = curve(() => 0);
  const last = ENTRIES - 1;
  for (let i = 0; i < ENTRIES; i++) {
    filmCurve(ground, ink.absorption, ink.scatter, LARGEST_DOSE * (i / last) ** 2, film);
    signal.set(toSignal(scanner, film), 3 * i);
    xyz.set(toXyz(film), 3 * i);
  }
  return { perDose: (last * last) / LARGEST_DOSE, last, signal, xyz };
}

/** Where a dose lies in the table, a fractional entry. */
export function entryOf(table: DoseTable, dose: number): number {
  const at = Math.sqrt(dose * table.perDose);
  return at < table.last ? at : table.last - 1e-6;
}

export function xyzAt(table: DoseTable, entry: number): Xyz {
  const cell = Math.min(table.last - 1, Math.floor(entry));
  const part = entry - cell;
  const { xyz } = table;
  const k = 3 * cell;
  return [
    xyz[k] + (xyz[k + 3] - xyz[k]) * part,
    xyz[k + 1] + (xyz[k + 4] - xyz[k + 1]) * part,
    xyz[k + 2] + (xyz[k + 5] - xyz[k + 2]) * part,
  ];
}
