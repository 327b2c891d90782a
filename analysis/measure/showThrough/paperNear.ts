/** The light that bare paper next to each place sends back: what a ghost is held against, never paper far away. */
import { gaussianSmooth } from '../../raster/gaussian.ts';

const CELL_MM = 0.25;
const NEAR_MM = 1.25;

/**
 * Y over the mean Y of the counted paper about it (a bell of 1.25 mm), pixel by pixel; NaN where no counted paper is near.
 * @param counts 1 where paper counts
 */
export function overPaperNear(
  y: Float32Array,
  counts: Uint8Array,
  widthPx: number,
  heightPx: number,
  dpi: number,
): Float32Array {
  const cellPx = (CELL_MM * dpi) / 25.4;
  const columns = Math.ceil(widthPx / cellPx);
  const rows = Math.ceil(heightPx / cellPx);
  const sum = new Float32Array(columns * rows);
  const weight = new Float32Array(columns * rows);
  for (let py = 0; py < heightPx; py++) {
    const row = Math.floor(py / cellPx) * columns;
    for (let px = 0; px < widthPx; px++) {
      const i = py * widthPx + px;
      if (!counts[i]) continue;
      const cell = row + Math.floor(px / cellPx);
      sum[cell] += y[i];
      weight[cell]++;
    }
  }
  const sigma = NEAR_MM / CELL_MM;
  gaussianSmooth(sum, columns, rows, sigma, sum);
  gaussianSmooth(weight, columns, rows, sigma, weight);
  const least = 0.02 * cellPx * cellPx;
  const out = new Float32Array(y.length);
  for (let py = 0; py < heightPx; py++) {
    const v = Math.min(rows - 1, Math.max(0, (py + 0.5) / cellPx - 0.5));
    const r0 = Math.min(rows - 1, Math.floor(v));
    const r1 = Math.min(rows - 1, r0 + 1);
    const fv = v - r0;
    for (let px = 0; px < widthPx; px++) {
      const u = Math.min(columns - 1, Math.max(0, (px + 0.5) / cellPx - 0.5));
      const c0 = Math.min(columns - 1, Math.floor(u));
      const c1 = Math.min(columns - 1, c0 + 1);
      const fu = u - c0;
      const at = (map: Float32Array): number =>
        (1 - fv) * ((1 - fu) * map[r0 * columns + c0] + fu * map[r0 * columns + c1]) +
        fv * ((1 - fu) * map[r1 * columns + c0] + fu * map[r1 * columns + c1]);
      const w = at(weight);
      const i = py * widthPx + px;
      out[i] = w >= least ? (y[i] * w) / at(sum) : NaN;
    }
  }
  return out;
}
