/** The scanner's blur and sharpening from a target's scan: by its slanted edge where it has one that is clean, else by the rims of its discs. */
import { linearise } from '../../analysis/calibrate/apply.ts';
import type { Calibration, TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { type DiscRim, discRim, rimReachPx } from '../../analysis/locate/discBlur.ts';
import { edgeBlur } from '../../analysis/locate/slantedEdge.ts';
import { homography, mapBox, type Point } from '../../analysis/raster/homography.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { type BoxPx, readScan } from '../scans/readScan.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import { compiled } from './compiled.ts';

interface TargetScan {
  readonly info: ScanInfo;
  readonly dpi: number;
  readonly layout: TargetLayout;
}

export interface TargetEdges {
  /** Sigma of a Gaussian, mm. */
  readonly blurMm: number;
  /** How much lighter than paper the paper beside an edge is, as a share of the edge's step. */
  readonly overshoot: number;
}

/** @returns null when the target has neither edge nor discs, or they lie outside the scan */
export async function targetEdges(
  scan: TargetScan,
  pointsPx: readonly Point[],
  calibration: Calibration,
): Promise<TargetEdges | null> {
  return (await blurOfEdge(scan, pointsPx, calibration)) ?? (await blurOfDiscs(scan, pointsPx, calibration));
}

async function blurOfEdge(
  scan: TargetScan,
  pointsPx: readonly Point[],
  calibration: Calibration,
): Promise<TargetEdges | null> {
  const { layout, dpi } = scan;
  if (layout.slantedEdge === undefined) return null;
  const { boxMm } = layout.slantedEdge;
  const corners = mapBox(homography(layout.pointsMm, pointsPx), boxMm);
  const [left, top] = [Math.min(...corners.map((p) => p[0])), Math.min(...corners.map((p) => p[1]))];
  const box: BoxPx = [
    left,
    top,
    Math.max(...corners.map((p) => p[0])) - left,
    Math.max(...corners.map((p) => p[1])) - top,
  ];
  const raster = await linearWindow(scan, box, calibration);
  if (raster === null) return null;
  const shifted = pointsPx.map(([px, py]): Point => [px - raster.originPx[0], py - raster.originPx[1]]);
  const blur = edgeBlur(raster, boxMm, homography(layout.pointsMm, shifted));
  return blur && { blurMm: (blur.sigmaPx * 25.4) / dpi, overshoot: blur.overshoot };
}

/** Median over the discs; a disc at the scan's rim or under a finger must not decide. */
async function blurOfDiscs(
  scan: TargetScan,
  pointsPx: readonly Point[],
  calibration: Calibration,
): Promise<TargetEdges | null> {
  const { layout, dpi } = scan;
  if (!layout.fiducial) return null;
  const pxPerMm = dpi / 25.4;
  const radiusPx = layout.fiducial.radiusMm * pxPerMm;
  const side = 2 * (radiusPx + rimReachPx(dpi) + 2);
  const rims: DiscRim[] = [];
  for (const [x, y] of pointsPx) {
    const raster = await linearWindow(scan, [x - side / 2, y - side / 2, side, side], calibration);
    if (raster === null) continue;
    const [left, top] = raster.originPx;
    const rim = discRim(raster, x - left, y - top, radiusPx);
    if (rim !== null) rims.push(rim);
  }
  if (rims.length === 0) return null;
  const middle = (of: (rim: DiscRim) => number): number => rims.map(of).toSorted((a, b) => a - b)[rims.length >> 1];
  // Of few discs the lower one: one with dirt beside it must not decide.
  const overshoot = rims.map((rim) => rim.overshoot).toSorted((a, b) => a - b)[(rims.length - 1) >> 1];
  return { blurMm: middle((rim) => rim.sigmaPx) / pxPerMm, overshoot };
}

/** Null when the window lies wholly outside the scan. */
async function linearWindow(
  { info, dpi }: TargetScan,
  box: BoxPx,
  calibration: Calibration,
): Promise<LinearRaster | null> {
  const [x, y, width, height] = box;
  if (x >= info.widthPx || y >= info.heightPx || x + width <= 0 || y + height <= 0) return null;
  return linearise(await readScan(info.file, box, dpi, info), compiled(calibration));
}
