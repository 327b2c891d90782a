/** Boxes in mm from the scan's top left corner: drawn, moved, resized, kept on the scan. */
import type { Point } from '../../analysis/raster/homography.ts';

export type BoxMm = readonly [x: number, y: number, width: number, height: number];

export interface ScanSizeMm {
  readonly width: number;
  readonly height: number;
}

export const HANDLES = ['nw', 'n', 'ne', 'e', 'se', 's', 'sw', 'w'] as const;
export type Handle = (typeof HANDLES)[number];

/** Nothing can be measured in less. */
export const LEAST_SIDE_MM = 0.5;
/** As placeRegions.ts of the host: people measure with a ruler. */
const TOLERANCE_MM = 0.5 + 1e-6;

/** What a box is written with. */
export function roundMm(mm: number): number {
  return Math.round(mm * 100) / 100 + 0;
}

export function handlePoint([x, y, width, height]: BoxMm, handle: Handle): Point {
  const across = handle.includes('w') ? 0 : handle.includes('e') ? 1 : 0.5;
  const down = handle.includes('n') ? 0 : handle.includes('s') ? 1 : 0.5;
  return [x + across * width, y + down * height];
}

export function movedBox([x, y, width, height]: BoxMm, byX: number, byY: number): BoxMm {
  return [roundMm(x + byX), roundMm(y + byY), width, height];
}

/** Moves the sides that a handle holds; a side stops before it crosses the one across. */
export function resizedBox([x, y, width, height]: BoxMm, handle: Handle, byX: number, byY: number): BoxMm {
  let [left, top, right, bottom] = [x, y, x + width, y + height];
  if (handle.includes('w')) left = Math.min(left + byX, right - LEAST_SIDE_MM);
  if (handle.includes('e')) right = Math.max(right + byX, left + LEAST_SIDE_MM);
  if (handle.includes('n')) top = Math.min(top + byY, bottom - LEAST_SIDE_MM);
  if (handle.includes('s')) bottom = Math.max(bottom + byY, top + LEAST_SIDE_MM);
  return rounded([left, top, right - left, bottom - top]);
}

/** The box between two corners, cut at the scan's edges; null when it is too small to be meant. */
export function drawnBox(from: Point, to: Point, scan: ScanSizeMm): BoxMm | null {
  const inX = (x: number): number => Math.min(scan.width, Math.max(0, x));
  const inY = (y: number): number => Math.min(scan.height, Math.max(0, y));
  const left = inX(Math.min(from[0], to[0]));
  const right = inX(Math.max(from[0], to[0]));
  const top = inY(Math.min(from[1], to[1]));
  const bottom = inY(Math.max(from[1], to[1]));
  if (right - left < LEAST_SIDE_MM || bottom - top < LEAST_SIDE_MM) return null;
  return rounded([left, top, right - left, bottom - top]);
}

/** The same size, moved as little as brings it onto the scan; larger boxes are cut. */
export function keptOnScan([x, y, width, height]: BoxMm, scan: ScanSizeMm): BoxMm {
  const across = Math.min(width, scan.width);
  const down = Math.min(height, scan.height);
  return rounded([
    Math.min(Math.max(0, x), scan.width - across),
    Math.min(Math.max(0, y), scan.height - down),
    across,
    down,
  ]);
}

/** Why a box cannot stay where it is, in words; null: it can. */
export function offScan([x, y, width, height]: BoxMm, scan: ScanSizeMm, name: string): string | null {
  const over = [
    x < -TOLERANCE_MM && `${figure(-x)} mm over the left edge`,
    y < -TOLERANCE_MM && `${figure(-y)} mm over the top edge`,
    x + width > scan.width + TOLERANCE_MM && `${figure(x + width - scan.width)} mm over the right edge`,
    y + height > scan.height + TOLERANCE_MM && `${figure(y + height - scan.height)} mm over the bottom edge`,
  ].filter((words) => words !== false);
  if (over.length === 0) return null;
  return (
    `“${name}” would reach ${over.join(' and ')}; the scan is ${figure(scan.width)} × ${figure(scan.height)} mm. ` +
    `It was put back: draw it inside the scan, or correct the scan’s dpi.`
  );
}

/** A box for a region made without a mouse: a third of what is in view, in its middle. */
export function boxInView(inView: BoxMm, scan: ScanSizeMm): BoxMm {
  const [x, y, width, height] = inView;
  const left = Math.max(0, x);
  const top = Math.max(0, y);
  const right = Math.min(scan.width, x + width);
  const bottom = Math.min(scan.height, y + height);
  const visible: BoxMm =
    right - left > 1 && bottom - top > 1 ? [left, top, right - left, bottom - top] : [0, 0, scan.width, scan.height];
  const across = Math.max(LEAST_SIDE_MM, visible[2] / 3);
  const down = Math.max(LEAST_SIDE_MM, visible[3] / 3);
  return keptOnScan([visible[0] + (visible[2] - across) / 2, visible[1] + (visible[3] - down) / 2, across, down], scan);
}

export function rounded(box: BoxMm): BoxMm {
  const [x, y, width, height] = box.map(roundMm);
  return [x, y, width, height];
}

function figure(mm: number): string {
  return (Math.round(mm * 10) / 10).toString();
}
