/**
 * The 4 × 6 colour-rendition chart: 24 patches in reading order from dark skin (1) to black (24), the last row greys.
 * Arrangement: McCamy, Marcus & Davidson 1976, J. Appl. Photogr. Eng. 2(3), 95–99. Proportions of the classic full-size chart: patches
 * of 40 mm, from memory, with gaps of 0.14 of a patch, which agrees with measurements that others published. Smaller makes keep them
 * roughly; only proportions count here.
 */
import type { TargetLayout } from '../calibration.ts';

const PATCH_MM = 40;
const PITCH_MM = 45.6;
const COLUMNS = 6;
const ROWS = 4;
const WIDTH_MM = (COLUMNS - 1) * PITCH_MM + PATCH_MM;
const HEIGHT_MM = rounded((ROWS - 1) * PITCH_MM + PATCH_MM);

export const CHART_4X6_LAYOUT: TargetLayout = {
  format: 'wetline-target/1',
  name: '4 × 6 colour-rendition chart',
  // The outer corners of patches 1, 6, 24 and 19.
  pointsMm: [
    [0, 0],
    [WIDTH_MM, 0],
    [WIDTH_MM, HEIGHT_MM],
    [0, HEIGHT_MM],
  ],
  patches: Array.from({ length: COLUMNS * ROWS }, (_, i) => {
    const [column, row] = [i % COLUMNS, Math.floor(i / COLUMNS)];
    return {
      id: String(i + 1),
      boxMm: [rounded(column * PITCH_MM), rounded(row * PITCH_MM), PATCH_MM, PATCH_MM] as const,
      ...(row === ROWS - 1 && { grey: true }),
    };
  }),
};

/** Tenths of a millimetre, without the dust of binary fractions. */
function rounded(mm: number): number {
  return Math.round(10 * mm) / 10;
}
