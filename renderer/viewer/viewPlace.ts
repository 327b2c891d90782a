/** Which part of a scan a viewer shows, and the way between scan and screen. */
import type { Point } from '../../analysis/raster/homography.ts';

/** Centre in scan px, and CSS px of the screen for each scan px. */
export interface View {
  readonly x: number;
  readonly y: number;
  readonly screenPerPx: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** One moment's view. Screen places are CSS px from the top left corner of the picture (rulers lie outside). */
export interface ViewPlace {
  /** Scan px for each CSS px: what keeps handles and letters of one size at every zoom. */
  readonly pxPerScreen: number;
  readonly screenPerPx: number;
  readonly view: View;
  /** CSS px. */
  readonly size: Size;
  /** Left, top, width, height of what is in view, px of the scan; may reach beyond it. */
  readonly boxPx: readonly [x: number, y: number, width: number, height: number];
  toScreen(p: Point): Point;
  toScan(p: Point): Point;
}

export function viewPlace(view: View, size: Size): ViewPlace {
  const { x, y, screenPerPx } = view;
  const pxPerScreen = 1 / screenPerPx;
  const left = x - (size.width / 2) * pxPerScreen;
  const top = y - (size.height / 2) * pxPerScreen;
  return {
    pxPerScreen,
    screenPerPx,
    view,
    size,
    boxPx: [left, top, size.width * pxPerScreen, size.height * pxPerScreen],
    toScreen: (p) => [(p[0] - left) * screenPerPx, (p[1] - top) * screenPerPx],
    toScan: (p) => [left + p[0] * pxPerScreen, top + p[1] * pxPerScreen],
  };
}

/** The whole scan with a little air around. */
export function fittingView(scan: Size, size: Size): View {
  const air = 0.96;
  const screenPerPx = air * Math.min(size.width / scan.width, size.height / scan.height);
  return { x: scan.width / 2, y: scan.height / 2, screenPerPx };
}

/** A box of the scan with air around, never closer than `mostScreenPerPx`. */
export function viewOfBox(box: readonly [number, number, number, number], size: Size, mostScreenPerPx = 8): View {
  const [x, y, width, height] = box;
  const scale = 0.8 * Math.min(size.width / Math.max(1, width), size.height / Math.max(1, height));
  return { x: x + width / 2, y: y + height / 2, screenPerPx: Math.min(scale, mostScreenPerPx) };
}

export function isSameView(p: View, q: View): boolean {
  return p.x === q.x && p.y === q.y && p.screenPerPx === q.screenPerPx;
}
