/** Whether a target's layout, reference and points go together and lie in its scan. */
import type { PointMm, TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { runClockwise } from './layout.ts';
import { SheetError } from './sheetError.ts';

/** @throws SheetError 'reference-lacks-patches' */
export function refuseMissingPatches(layout: TargetLayout, reference: TargetReference, referenceName: string): void {
  const missing = layout.patches.map((p) => p.id).filter((id) => !reference.patches.has(id));
  if (missing.length === 0) return;
  const all = layout.patches.length;
  throw new SheetError(
    'reference-lacks-patches',
    `${referenceName}: lacks ${missing.length} of the ${all} patches of layout "${layout.name}" ` +
      `(${missing.slice(0, 5).join(', ')}${missing.length > 5 ? ', …' : ''}); expected values for all. ` +
      `It names ${[...reference.patches.keys()].slice(0, 3).join(', ')}, …: is it this target's reference?`,
  );
}

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
