/** Whether a target's points lie in its scan and run the right way round. */
import type { PointMm } from '../../analysis/calibrate/calibration.ts';
import { runClockwise } from './layout.ts';
import { SheetError } from './sheetError.ts';

/** @throws SheetError 'points-outside', 'points-order' */
export function refusePoints(
  points: readonly PointMm[],
  scan: { readonly info: { readonly widthPx: number; readonly heightPx: number }; readonly dpi: number },
): void {
  const widthMm = (scan.info.widthPx / scan.dpi) * 25.4;
  const heightMm = (scan.info.heightPx / scan.dpi) * 25.4;
  const outside = points.find(([x, y]) => x < 0 || y < 0 || x > widthMm || y > heightMm);
  if (outside) {
    throw new SheetError(
      'points-outside',
      `target.pointsMm: [${outside.join(', ')}] lies outside its scan of ${widthMm.toFixed(1)} × ${heightMm.toFixed(1)} mm; ` +
        `expected four places in it. Correct the point, or leave pointsMm out to have them found.`,
    );
  }
  // A scan may lie turned on the bed, but never mirrored: clockwise stays clockwise.
  if (!runClockwise(points)) {
    throw new SheetError(
      'points-order',
      `target.pointsMm do not run top left, top right, bottom right, bottom left of the target (clockwise). Put them in that order.`,
    );
  }
}
