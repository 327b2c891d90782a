/** Where a target's card is bare: inside its outline, clear of patches and fiducials. */
import type { PointMm, TargetLayout } from './calibration.ts';

/** Distance from anything printed, besides the scanner's blur: ink spreads, and a bright surround is tinted by what is next to it. */
const CLEAR_MM = 0.6;
const CELL_MM = 0.1;

export interface FreeCard {
  readonly originMm: PointMm;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Whether a place of the layout, in mm, is bare card. */
  holds(xMm: number, yMm: number): boolean;
}

/** @param blurMm added to the clearance of 0.6 mm */
export function fillFreeCard(layout: TargetLayout, blurMm: number): FreeCard {
  const clear = CLEAR_MM + blurMm;
  // The outline runs through the four points and round the patches; beyond it nobody knows where the card ends.
  const xs = [
    ...layout.pointsMm.map((p) => p[0]),
    ...layout.patches.flatMap(({ boxMm }) => [boxMm[0], boxMm[0] + boxMm[2]]),
  ];
  const ys = [
    ...layout.pointsMm.map((p) => p[1]),
    ...layout.patches.flatMap(({ boxMm }) => [boxMm[1], boxMm[1] + boxMm[3]]),
  ];
  const originMm: PointMm = [Math.min(...xs), Math.min(...ys)];
  const widthMm = Math.max(...xs) - originMm[0];
  const heightMm = Math.max(...ys) - originMm[1];
  const columns = Math.ceil(widthMm / CELL_MM);
  const rows = Math.ceil(heightMm / CELL_MM);
  const bare = new Uint8Array(columns * rows).fill(1);

  const cellsFrom = (mm: number): number => Math.max(0, Math.floor(mm / CELL_MM));
  for (const { boxMm } of [...layout.patches, ...(layout.slantedEdge ? [layout.slantedEdge] : [])]) {
    const [x, y, w, h] = boxMm;
    const lastRow = Math.min(rows, Math.ceil((y - originMm[1] + h + clear) / CELL_MM));
    const first = cellsFrom(x - originMm[0] - clear);
    const last = Math.min(columns, Math.ceil((x - originMm[0] + w + clear) / CELL_MM));
    for (let row = cellsFrom(y - originMm[1] - clear); row < lastRow; row++)
      bare.fill(0, row * columns + first, row * columns + last);
  }
  const disc = layout.fiducial;
  if (disc !== undefined) {
    const reach = disc.radiusMm + clear;
    for (const [x, y] of layout.pointsMm) {
      for (let row = 0; row < rows; row++) {
        const dy = originMm[1] + (row + 0.5) * CELL_MM - y;
        if (Math.abs(dy) > reach) continue;
        const half = Math.sqrt(reach * reach - dy * dy);
        const first = cellsFrom(x - half - originMm[0]);
        const last = Math.min(columns, Math.ceil((x + half - originMm[0]) / CELL_MM));
        if (last > first) bare.fill(0, row * columns + first, row * columns + last);
      }
    }
  }
  return {
    originMm,
    widthMm,
    heightMm,
    holds(xMm, yMm) {
      const column = Math.floor((xMm - originMm[0]) / CELL_MM);
      const row = Math.floor((yMm - originMm[1]) / CELL_MM);
      return column >= 0 && row >= 0 && column < columns && row < rows && bare[row * columns + column] === 1;
    },
  };
}
