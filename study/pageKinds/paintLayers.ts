/** Print, ink and stains on what is painted already, cell by cell: light is averaged over a pixel, not dose. */
import type { DoseTable } from '../../sample-scans/generator/doseTable.ts';
import type { InkField } from '../../sample-scans/generator/inkField.ts';
import type { Band } from '../../sample-scans/generator/scene.ts';

/** Print under the ink: where it covers, the ink lies on another ground. */
export interface Cover {
  readonly coverage: (xMm: number, yMm: number, cellMm: number) => number;
  readonly table: DoseTable;
}

/** What lies on paper and ink alike and takes light from both: a fleck, a pencil's line, a printed letter. */
export interface Stain {
  /** Covered share of a cell, 0 to 1, on the layers' own grid. */
  readonly cells: Float32Array;
  /** Signal over that of bare paper where it covers whole. */
  readonly ratio: readonly [number, number, number];
}

export function paintLayers(
  band: Band,
  field: InkField,
  table: DoseTable,
  covers: readonly Cover[],
  stains: readonly Stain[],
): void {
  const { factor } = field;
  const fineWidth = field.widthPx * factor;
  const cellMm = 1 / field.finePerMm;
  const from = Math.max(field.y0Px, band.firstRow);
  const to = Math.min(field.y0Px + field.heightPx, band.firstRow + band.rows);
  const bare = table.signal.subarray(0, 3);
  const cell = [0, 0, 0];
  for (let y = from; y < to; y++) {
    for (let x = 0; x < band.widthPx; x++) {
      let [r, g, b] = [0, 0, 0];
      let marked = false;
      for (let v = 0; v < factor; v++) {
        const row = (y - field.y0Px) * factor + v;
        const yMm = (y * factor + v + 0.5) * cellMm;
        for (let u = 0; u < factor; u++) {
          const column = (x - field.x0Px) * factor + u;
          const i = row * fineWidth + column;
          const dose = field.dose[i];
          for (let c = 0; c < 3; c++) cell[c] = bare[c];
          if (dose > 0) {
            signalAt(table, dose, cell);
            marked = true;
          }
          for (const cover of covers) {
            const share = cover.coverage((x * factor + u + 0.5) * cellMm, yMm, cellMm);
            if (share <= 0) continue;
            marked = true;
            mix(cover.table, dose, share, cell);
          }
          for (const stain of stains) {
            const share = stain.cells[i];
            if (share <= 0) continue;
            marked = true;
            for (let c = 0; c < 3; c++) cell[c] *= 1 - share * (1 - stain.ratio[c]);
          }
          r += cell[0];
          g += cell[1];
          b += cell[2];
        }
      }
      if (!marked) continue;
      const out = 3 * ((y - band.firstRow) * band.widthPx + x);
      const n = factor * factor;
      band.data[out] *= r / (n * bare[0]);
      band.data[out + 1] *= g / (n * bare[1]);
      band.data[out + 2] *= b / (n * bare[2]);
    }
  }
}

const under = [0, 0, 0];
function mix(table: DoseTable, dose: number, share: number, cell: number[]): void {
  signalAt(table, dose, under);
  for (let c = 0; c < 3; c++) cell[c] += share * (under[c] - cell[c]);
}

function signalAt(table: DoseTable, dose: number, out: number[]): void {
  const at = Math.min(Math.sqrt(dose * table.perDose), table.last - 1e-3);
  const entry = Math.floor(at);
  const part = at - entry;
  for (let c = 0; c < 3; c++) {
    const low = table.signal[3 * entry + c];
    out[c] = low + (table.signal[3 * entry + 3 + c] - low) * part;
  }
}
