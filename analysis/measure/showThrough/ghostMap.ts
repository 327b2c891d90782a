/** How much darker the back is behind each line's core than the paper next to it, place by place: for pictures; the figure is `ghosting`. */
import { GHOSTING_LIMITS, REVERSE_MARKS } from './reverseInput.ts';

export interface GhostGrid {
  /** REVERSE_MARKS of each cell, row by row. */
  readonly marks: Uint8Array;
  /** L* of each cell. */
  readonly lightness: Float32Array;
  readonly columns: number;
  readonly rows: number;
  readonly cellsPerMm: number;
}

/** How much of a mark's colour covers each class, 0..1: a line that does not show has its place, not more. */
export const GHOST_VEILS = [0, 0.16, 0.42, 0.7, 0.95] as const;

/** Paper next to a line is taken from so far about it, and a line's own lightness from so far along it: fibres are no ghost. mm; common practice, no source. */
const NEAR_MM = 2;
const ALONG_MM = 0.4;

/** @returns 0: no core of a line; else 1 and up, a class for each word of `ghosting`: none, faint, clear, strong. */
export function ghostClasses({ marks, lightness, columns, rows, cellsPerMm }: GhostGrid): Uint8Array {
  const is = (wanted: number): Uint8Array => Uint8Array.from(marks, (mark) => (mark === wanted ? 1 : 0));
  const [bare, core] = [is(REVERSE_MARKS.bare), is(REVERSE_MARKS.behindCore)];
  const reach = (mm: number): number => Math.max(1, Math.round(mm * cellsPerMm));
  const paper = meanAbout(lightness, bare, columns, rows, reach(NEAR_MM));
  const own = meanAbout(lightness, core, columns, rows, reach(ALONG_MM));
  const classes = new Uint8Array(marks.length);
  for (let i = 0; i < classes.length; i++) {
    if (core[i] && paper[i] > 0) classes[i] = 1 + ghostClass(paper[i] - own[i]);
  }
  return classes;
}

/** 0 below the first limit. @param dL ΔL*, paper minus line */
export function ghostClass(dL: number): number {
  const above = GHOSTING_LIMITS.findIndex((limit) => dL < limit);
  return above < 0 ? GHOSTING_LIMITS.length : above;
}

/** Mean over the cells of a square that count; 0 where none does. By running sums, along rows and then down columns. */
function meanAbout(
  values: Float32Array,
  counts: Uint8Array,
  columns: number,
  rows: number,
  reach: number,
): Float32Array {
  const sums = new Float64Array(values.length);
  const weights = new Float64Array(values.length);
  for (let row = 0; row < rows; row++) {
    const start = row * columns;
    let sum = 0;
    let weight = 0;
    for (let column = -reach; column < columns; column++) {
      const next = column + reach;
      if (next < columns && counts[start + next]) {
        sum += values[start + next];
        weight++;
      }
      const gone = column - reach - 1;
      if (gone >= 0 && counts[start + gone]) {
        sum -= values[start + gone];
        weight--;
      }
      if (column < 0) continue;
      sums[start + column] = sum;
      weights[start + column] = weight;
    }
  }
  const out = new Float32Array(values.length);
  for (let column = 0; column < columns; column++) {
    let sum = 0;
    let weight = 0;
    for (let row = -reach; row < rows; row++) {
      const next = row + reach;
      if (next < rows) {
        sum += sums[next * columns + column];
        weight += weights[next * columns + column];
      }
      const gone = row - reach - 1;
      if (gone >= 0) {
        sum -= sums[gone * columns + column];
        weight -= weights[gone * columns + column];
      }
      if (row >= 0) out[row * columns + column] = weight > 0.5 ? sum / weight : 0;
    }
  }
  return out;
}
