/** The ghost behind the lines' cores as a picture that lies on the scan. Pure. */
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import { GHOST_VEILS, ghostClasses } from '../../analysis/measure/showThrough/ghostMap.ts';
import type { LabRaster } from '../api/client.ts';
import type { MarksRaster } from '../findings/marks/marksRaster.ts';

/**
 * RGBA, `4 × columns × rows` of `lab`: a mark's colour, the more of it the more shows through.
 * @param lab of the marks' box, no finer than they are @param pxPerMm of the scan
 */
export function ghostPicture(
  marks: MarksRaster,
  lab: LabRaster,
  pxPerMm: number,
  rgb: readonly [number, number, number],
): Uint8ClampedArray<ArrayBuffer> {
  const { columns, rows } = lab;
  const classes = ghostClasses({
    marks: marksOn(marks, columns, rows),
    lightness: Float32Array.from({ length: columns * rows }, (_, i) => lab.data[3 * i] / LAB_RASTER_SCALE),
    columns,
    rows,
    cellsPerMm: (pxPerMm * columns) / marks.boxPx[2],
  });
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

/** The mark under the middle of each cell. */
function marksOn(marks: MarksRaster, columns: number, rows: number): Uint8Array {
  const out = new Uint8Array(columns * rows);
  for (let row = 0, i = 0; row < rows; row++) {
    const from = Math.floor(((row + 0.5) * marks.rows) / rows) * marks.columns;
    for (let column = 0; column < columns; column++, i++) {
      out[i] = marks.data[from + Math.floor(((column + 0.5) * marks.columns) / columns)];
    }
  }
  return out;
}
