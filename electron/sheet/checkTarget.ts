/** Whether a target's layout, reference and points go together and lie in its scan. */
import type { PointMm, TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { runClockwise } from './layout.ts';
import { matchPatches } from './matchPatches.ts';
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

/** @throws SheetError as `matchPatches` does */
export function refuseMissingPatches(layout: TargetLayout, reference: TargetReference, referenceName: string): void {
  matchPatches(layout, reference, referenceName);
}
