/** How much darker the back is behind each line's core than the paper next to it, place by place. Pure. */
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import { GHOSTING_LIMITS } from '../../analysis/measure/showThrough/measureReverse.ts';
import type { LabRaster } from '../api/client.ts';
import type { MarksRaster } from '../findings/marks/marksRaster.ts';

/** 0: no core of a line; then one class for each word: none, faint, clear, strong. */
export interface GhostMap {
  readonly classes: Uint8Array;
  readonly columns: number;
  readonly rows: number;
}

/** How much of the line's colour covers each class, 0..1: paler than the least is not worth a mark, but its place is. */
export const GHOST_VEILS = [0, 0.16, 0.42, 0.7, 0.95] as const;
export const GHOST_LIMITS = GHOSTING_LIMITS;

/** Paper next to a line is taken from so far about it, and a line's own lightness from so far along it: fibres are not the ghost. mm */
const NEAR_MM = 2;
const ALONG_MM = 0.4;

/** @param lab of the marks' box, no finer than they are @param pxPerMm of the scan */
export function ghostMap(marks: MarksRaster, lab: LabRaster, pxPerMm: number): GhostMap {
  const { columns, rows } = lab;
  const cellsPerMm = (pxPerMm * columns) / marks.boxPx[2];
  const lightness = Float32Array.from({ length: columns * rows }, (_, i) => lab.data[3 * i] / LAB_RASTER_SCALE);
  const bare = new Uint8Array(columns * rows);
  const core = new Uint8Array(columns * rows);
  for (let row = 0, i = 0; row < rows; row++) {
    const from = Math.floor(((row + 0.5) * marks.rows) / rows) * marks.columns;
    for (let column = 0; column < columns; column++, i++) {
      const mark = marks.data[from + Math.floor(((column + 0.5) * marks.columns) / columns)];
      if (mark === REVERSE_MARKS.bare) bare[i] = 1;
      else if (mark === REVERSE_MARKS.behindCore) core[i] = 1;
    }
  }
  const paper = meanAbout(lightness, bare, columns, rows, Math.max(1, Math.round(NEAR_MM * cellsPerMm)));
  const own = meanAbout(lightness, core, columns, rows, Math.max(1, Math.round(ALONG_MM * cellsPerMm)));
  const classes = new Uint8Array(columns * rows);
  for (let i = 0; i < classes.length; i++) {
    if (core[i] && paper[i] > 0) classes[i] = 1 + ghostClass(paper[i] - own[i]);
  }
  return { classes, columns, rows };
}

/** 0 below the first limit. @param dL ΔL*, paper minus line */
export function ghostClass(dL: number): number {
  const above = GHOST_LIMITS.findIndex((limit) => dL < limit);
  return above < 0 ? GHOST_LIMITS.length : above;
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

/** RGBA, `4 × columns × rows`: the line's colour, the more of it the more shows through. */
export function ghostPicture(
  { classes }: GhostMap,
  rgb: readonly [number, number, number],
): Uint8ClampedArray<ArrayBuffer> {
  const picture = new Uint8ClampedArray(4 * classes.length);
  for (let i = 0; i < classes.length; i++) {
    if (classes[i] === 0) continue;
    picture[4 * i] = rgb[0];
    picture[4 * i + 1] = rgb[1];
    picture[4 * i + 2] = rgb[2];
    picture[4 * i + 3] = 255 * GHOST_VEILS[classes[i]];
  }
  return picture;
}
