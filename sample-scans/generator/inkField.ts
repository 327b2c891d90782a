/** Ink on a piece of a sheet: how much of it lies where, on a grid finer than the scan's, without blur or noise. */
import type { DoseTable } from './doseTable.ts';
import type { Band } from './scene.ts';

export interface InkField {
  /** Place and size in pixels of the scan. */
  readonly x0Px: number;
  readonly y0Px: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Fine cells along one pixel of the scan. */
  readonly factor: number;
  readonly finePerMm: number;
  /** Row-major, (widthPx·factor) × (heightPx·factor). */
  readonly dose: Float32Array;
  /** Passes of the pen that lie on one another here. */
  readonly layers: Uint8Array;
  /** 1 where the colour of a stroke or swab is judged (README, "truth"). */
  readonly interior: Uint8Array;
  /** Share of a whole metallic layer on top (sheen.ts), 0..1. */
  readonly sheen?: Float32Array;
  /** Passes whose own interior holds the cell: where it equals `layers`, no pass's edge is near. */
  readonly within?: Uint8Array;
  /** 1 where a pass has more than half of its own plateau's dose: the exact mask. Kept only where there is room for it. */
  readonly covered?: Uint8Array;
}

/** Fine cells per pixel: at least 500 cells per inch. */
export function fineFactor(dpi: number): number {
  return Math.max(1, Math.ceil(500 / dpi));
}

/** An empty field that holds a box of the scan (mm). */
export function emptyField(boxMm: readonly [number, number, number, number], dpi: number): InkField {
  const pxPerMm = dpi / 25.4;
  const factor = fineFactor(dpi);
  const x0Px = Math.floor(boxMm[0] * pxPerMm);
  const y0Px = Math.floor(boxMm[1] * pxPerMm);
  const widthPx = Math.ceil((boxMm[0] + boxMm[2]) * pxPerMm) - x0Px;
  const heightPx = Math.ceil((boxMm[1] + boxMm[3]) * pxPerMm) - y0Px;
  const cells = widthPx * heightPx * factor * factor;
  return {
    x0Px,
    y0Px,
    widthPx,
    heightPx,
    factor,
    finePerMm: pxPerMm * factor,
    dose: new Float32Array(cells),
    layers: new Uint8Array(cells),
    interior: new Uint8Array(cells),
    within: new Uint8Array(cells),
  };
}

/** Lays the film on what is painted already: light is averaged over the pixel, not dose. */
export function paintInk(
  band: Band,
  field: InkField,
  table: DoseTable,
  metal: readonly [number, number, number] = [0, 0, 0],
): void {
  const { factor, dose, sheen } = field;
  const { signal } = table;
  const fineWidth = field.widthPx * factor;
  const share = 1 / (factor * factor);
  const [r0, g0, b0] = signal;
  const from = Math.max(field.y0Px, band.firstRow);
  const to = Math.min(field.y0Px + field.heightPx, band.firstRow + band.rows);
  const left = Math.max(0, -field.x0Px);
  const right = Math.min(field.widthPx, band.widthPx - field.x0Px);
  for (let y = from; y < to; y++) {
    for (let x = left; x < right; x++) {
      let r = 0;
      let g = 0;
      let b = 0;
      let inked = false;
      for (let v = 0; v < factor; v++) {
        const start = ((y - field.y0Px) * factor + v) * fineWidth + x * factor;
        for (let u = 0; u < factor; u++) {
          const d = dose[start + u];
          if (d === 0) {
            r += r0;
            g += g0;
            b += b0;
            continue;
          }
          inked = true;
          let at = Math.sqrt(d * table.perDose);
          if (at >= table.last) at = table.last - 1e-3;
          const cell = at | 0;
          const part = at - cell;
          const k = 3 * cell;
          r += signal[k] + (signal[k + 3] - signal[k]) * part;
          g += signal[k + 1] + (signal[k + 4] - signal[k + 1]) * part;
          b += signal[k + 2] + (signal[k + 5] - signal[k + 2]) * part;
          if (!sheen) continue;
          r += metal[0] * sheen[start + u];
          g += metal[1] * sheen[start + u];
          b += metal[2] * sheen[start + u];
        }
      }
      if (!inked) continue;
      const out = 3 * ((y - band.firstRow) * band.widthPx + x + field.x0Px);
      band.data[out] *= (r * share) / r0;
      band.data[out + 1] *= (g * share) / g0;
      band.data[out + 2] *= (b * share) / b0;
    }
  }
}
