/** One value a square cell, in millimetres about the middle of what was scanned: what sheets are laid over each other by. */

export interface GridMap {
  /** Row by row; columns × rows. */
  readonly data: Float32Array;
  readonly columns: number;
  readonly rows: number;
  /** Side of a cell, mm. */
  readonly stepMm: number;
}

/** Means of pixels over cells; cells that the raster covers only in part take the part. @param values one a pixel */
export function gridMapOf(
  values: Float32Array,
  widthPx: number,
  heightPx: number,
  dpi: number,
  stepMm: number,
): GridMap {
  const stepPx = (stepMm * dpi) / 25.4;
  const columns = Math.max(1, Math.floor(widthPx / stepPx));
  const rows = Math.max(1, Math.floor(heightPx / stepPx));
  // The middle of the grid is the middle of the raster.
  const left = (widthPx - columns * stepPx) / 2;
  const top = (heightPx - rows * stepPx) / 2;
  const data = new Float32Array(columns * rows);
  const count = new Float32Array(columns * rows);
  const columnOf = Int32Array.from({ length: widthPx }, (_, x) => Math.floor((x + 0.5 - left) / stepPx));
  for (let y = 0; y < heightPx; y++) {
    const row = Math.floor((y + 0.5 - top) / stepPx);
    if (row < 0 || row >= rows) continue;
    for (let x = 0; x < widthPx; x++) {
      const column = columnOf[x];
      if (column < 0 || column >= columns) continue;
      data[row * columns + column] += values[y * widthPx + x];
      count[row * columns + column]++;
    }
  }
  for (let i = 0; i < data.length; i++) if (count[i] > 0) data[i] /= count[i];
  return { data, columns, rows, stepMm };
}

/** Cells `factor` times as wide; what does not fill one at the right and lower end is left out. */
export function coarserMap(map: GridMap, factor: number): GridMap {
  if (factor === 1) return map;
  const columns = Math.max(1, Math.floor(map.columns / factor));
  const rows = Math.max(1, Math.floor(map.rows / factor));
  const left = Math.floor((map.columns - columns * factor) / 2);
  const top = Math.floor((map.rows - rows * factor) / 2);
  const data = new Float32Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      let sum = 0;
      for (let y = 0; y < factor; y++) {
        const from = (top + row * factor + y) * map.columns + left + column * factor;
        for (let x = 0; x < factor; x++) sum += map.data[from + x];
      }
      data[row * columns + column] = sum / (factor * factor);
    }
  }
  return { data, columns, rows, stepMm: map.stepMm * factor };
}
