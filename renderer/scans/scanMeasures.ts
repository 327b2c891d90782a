/** A scan in millimetres. */
import type { WorkScan } from '../../electron/backend/api.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { BoxMm, ScanSizeMm } from './regionGeometry.ts';

type Measured = Pick<WorkScan, 'dpi' | 'widthPx' | 'heightPx'>;

/** Null: the scan has no resolution. */
export function pxPerMmOf({ dpi }: Pick<WorkScan, 'dpi'>): number | null {
  return dpi === null ? null : dpi / 25.4;
}

export function scanSizeMm(scan: Measured): ScanSizeMm | null {
  const pxPerMm = pxPerMmOf(scan);
  return pxPerMm === null ? null : { width: scan.widthPx / pxPerMm, height: scan.heightPx / pxPerMm };
}

export function inMm(p: Point, pxPerMm: number): Point {
  return [p[0] / pxPerMm, p[1] / pxPerMm];
}

export function boxInPx([x, y, width, height]: BoxMm, pxPerMm: number): [number, number, number, number] {
  return [x * pxPerMm, y * pxPerMm, width * pxPerMm, height * pxPerMm];
}
