/** A target's patches and its unprinted card, read off a scan as device values. */
import { invertHomography, mapPoint, type Homography, type Point } from '../raster/homography.ts';
import type { DeviceRaster } from '../raster/raster.ts';
import type { PatchReading, SurroundReading, TargetLayout } from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';
import { fillFreeCard, type FreeCard } from './freeCard.ts';
import { trimmedStatistics } from './trimmedStatistics.ts';

/** Share of a patch's width and height that is read: rims carry blur, misplacement and stray light. */
const INNER = 0.6;
/** Fewer pixels than this have no trimmed mean worth the name. */
const FEWEST_PIXELS = 16;
/** Share of the pixels left out at either end: dust is light or dark. */
const PATCH_TRIM = 0.1;
/** On bare card dirt, printed labels and hairs are more likely. */
const SURROUND_TRIM = 0.25;
/** Side of the blocks that bare card is gathered in, and the fewest pixels that make one. */
const BLOCK_MM = 8;
const FEWEST_BLOCK_PIXELS = 30;
/** Bare card is read at no more than this, which is plenty for means. */
const SURROUND_DPI = 300;

/**
 * @param toPx layout mm → raster pixels (pixel centres at integer + 0.5); any turn, scale or perspective
 * Throws a CalibrationError when a patch lies outside the raster or covers too few pixels.
 */
export function readPatches(scan: DeviceRaster, layout: TargetLayout, toPx: Homography): PatchReading[] {
  return layout.patches.map(({ id, boxMm, grey }) => {
    const [x, y, w, h] = boxMm;
    const centre: Point = [x + w / 2, y + h / 2];
    const corner = (sx: number, sy: number): Point =>
      mapPoint(toPx, [centre[0] + (sx * INNER * w) / 2, centre[1] + (sy * INNER * h) / 2]);
    const corners = [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)];
    if (corners.some(([px, py]) => px < 0 || py < 0 || px > scan.widthPx || py > scan.heightPx)) {
      throw new CalibrationError(
        'patches-outside-scan',
        `Patch ${id} of the target "${layout.name}" lies outside the scan of ${scan.widthPx} × ${scan.heightPx} px ` +
          `(its middle would be at ${place(mapPoint(toPx, centre))}). Check the layout's four points, or scan the whole target.`,
      );
    }
    const pixels = pixelsInside(corners, scan);
    if (pixels.length < FEWEST_PIXELS) {
      throw new CalibrationError(
        'patches-too-small',
        `Patch ${id} of the target "${layout.name}" is ${w} × ${h} mm; its inner 60 % covers ${pixels.length} pixels ` +
          `at ${scan.dpi} dpi, and at least ${FEWEST_PIXELS} are needed. Scan the target at a higher resolution.`,
      );
    }
    const { mean, sd, clippedShare } = trimmedStatistics(scan, pixels, PATCH_TRIM);
    return {
      id,
      grey: grey ?? false,
      device: mean,
      sd,
      pixels: pixels.length,
      clippedShare,
      centreMm: bedMm(mapPoint(toPx, centre), scan),
    };
  });
}

/**
 * The card's bare stock in blocks of 8 mm: what lies inside the layout's outline and clear of every patch and fiducial
 * (freeCard.ts). Targets without such gaps give few or no readings.
 */
export function readSurround(scan: DeviceRaster, layout: TargetLayout, toPx: Homography): SurroundReading[] {
  const free = fillFreeCard(layout, 2 * (25.4 / scan.dpi));
  const back = invertHomography(toPx);
  const stride = Math.max(1, Math.round(scan.dpi / SURROUND_DPI));
  const across = Math.ceil(free.widthMm / BLOCK_MM);
  const blocks = new Map<number, number[]>();
  const [left, top, right, bottom] = outlinePx(free, toPx, scan);
  for (let y = top; y < bottom; y += stride) {
    for (let x = left; x < right; x += stride) {
      const [u, v] = mapPoint(back, [x + 0.5, y + 0.5]);
      if (!free.holds(u, v)) continue;
      const block =
        Math.floor((v - free.originMm[1]) / BLOCK_MM) * across + Math.floor((u - free.originMm[0]) / BLOCK_MM);
      const pixels = blocks.get(block);
      if (pixels === undefined) blocks.set(block, [y * scan.widthPx + x]);
      else pixels.push(y * scan.widthPx + x);
    }
  }
  const readings: SurroundReading[] = [];
  for (const pixels of blocks.values()) {
    if (pixels.length < FEWEST_BLOCK_PIXELS) continue;
    const { mean, clippedShare } = trimmedStatistics(scan, pixels, SURROUND_TRIM);
    if (clippedShare > 0.005) continue;
    readings.push({ device: mean, pixels: pixels.length, placeMm: bedMm(middle(pixels, scan.widthPx), scan) });
  }
  return readings;
}

/** Indices of the pixels whose centres lie inside a convex quadrilateral, by the signs of its edges. */
function pixelsInside(corners: readonly Point[], scan: DeviceRaster): number[] {
  const xs = corners.map((p) => p[0]);
  const ys = corners.map((p) => p[1]);
  const out: number[] = [];
  const turn = Math.sign(side(corners[0], corners[1], corners[2]));
  for (let y = Math.floor(Math.min(...ys)); y < Math.min(scan.heightPx, Math.ceil(Math.max(...ys))); y++) {
    for (let x = Math.floor(Math.min(...xs)); x < Math.min(scan.widthPx, Math.ceil(Math.max(...xs))); x++) {
      const p: Point = [x + 0.5, y + 0.5];
      let inside = true;
      for (let k = 0; k < 4 && inside; k++) inside = turn * side(corners[k], corners[(k + 1) % 4], p) >= 0;
      if (inside) out.push(y * scan.widthPx + x);
    }
  }
  return out;
}

function side(a: Point, b: Point, p: Point): number {
  return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
}

/** The outline's bounding box in whole pixels of the raster. */
function outlinePx(free: FreeCard, toPx: Homography, scan: DeviceRaster): [number, number, number, number] {
  const [x, y] = free.originMm;
  const corners = [
    [x, y],
    [x + free.widthMm, y],
    [x + free.widthMm, y + free.heightMm],
    [x, y + free.heightMm],
  ].map(([u, v]) => mapPoint(toPx, [u, v]));
  const xs = corners.map((p) => p[0]);
  const ys = corners.map((p) => p[1]);
  return [
    Math.max(0, Math.floor(Math.min(...xs))),
    Math.max(0, Math.floor(Math.min(...ys))),
    Math.min(scan.widthPx, Math.ceil(Math.max(...xs))),
    Math.min(scan.heightPx, Math.ceil(Math.max(...ys))),
  ];
}

function middle(pixels: readonly number[], widthPx: number): Point {
  let x = 0;
  let y = 0;
  for (const i of pixels) {
    x += (i % widthPx) + 0.5;
    y += Math.floor(i / widthPx) + 0.5;
  }
  return [x / pixels.length, y / pixels.length];
}

function bedMm(px: Point, scan: DeviceRaster): Point {
  return [((px[0] + scan.originPx[0]) * 25.4) / scan.dpi, ((px[1] + scan.originPx[1]) * 25.4) / scan.dpi];
}

function place(px: Point): string {
  return `${px[0].toFixed(0)}, ${px[1].toFixed(0)} px`;
}
