/**
 * The ISO 12641-1 reflection layout: 22 columns × 12 rows of colours, A1 … L22, and 24 greys below, GS0 (lightest) … GS23 (darkest).
 * The standard was not at hand. From memory: ids, numbers, and that the greys are two fields high, begin one field left of column 1 and
 * end one right of column 22. The distance of one field between row L and the greys, and that fields touch, agree with
 * measurements of such targets that others published. A field is 6.5 mm on the usual print of 13 × 18 cm; prints differ in size, and
 * only proportions count here.
 */
import type { TargetLayout } from '../calibration.ts';

const FIELD_MM = 6.5;
const COLUMNS = 22;
const ROWS = 'ABCDEFGHIJKL';
const GREYS = 24;

export const ISO_12641_LAYOUT: TargetLayout = {
  format: 'wetline-target/1',
  name: 'ISO 12641-1 reflection layout',
  // The corners of the colours, A1, A22, L22, L1: the greys stand out beyond them on both sides.
  pointsMm: [
    [0, 0],
    [COLUMNS * FIELD_MM, 0],
    [COLUMNS * FIELD_MM, ROWS.length * FIELD_MM],
    [0, ROWS.length * FIELD_MM],
  ],
  patches: [
    ...ROWS.split('').flatMap((letter, row) =>
      Array.from({ length: COLUMNS }, (_, column) => ({
        id: `${letter}${column + 1}`,
        boxMm: [column * FIELD_MM, row * FIELD_MM, FIELD_MM, FIELD_MM] as const,
      })),
    ),
    ...Array.from({ length: GREYS }, (_, step) => ({
      id: `GS${step}`,
      boxMm: [(step - 1) * FIELD_MM, (ROWS.length + 1) * FIELD_MM, FIELD_MM, 2 * FIELD_MM] as const,
      grey: true,
    })),
  ],
};
