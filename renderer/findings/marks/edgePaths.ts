/** Edges, widths and hairs of a region's lines as paths in px of the scan. Pure. */
import type { EdgeDetail, RegionDetail } from '../../../electron/backend/api.ts';

type Corner = Pick<RegionDetail, 'boxPx'>;
type Dot = readonly [x: number, y: number];

export function edgePath(detail: Corner, { edges }: EdgeDetail): string {
  const [left, top] = cornerOf(detail);
  return edges.map(({ points }) => lineOf(points, left, top)).join('');
}

export function hairPath(detail: Corner, { hairs }: EdgeDetail): string {
  const at = dotsOf(detail);
  return hairs.map(({ from, to }) => `M${at(from)}L${at(to)}`).join('');
}

/** A line from edge to edge, with a tick at either end. @param tick half the length of one, px of the scan */
export function widthPath(detail: Corner, { whiskers }: EdgeDetail, tick: number): string {
  const at = dotsOf(detail);
  return whiskers
    .map(({ from, to }) => {
      const length = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
      const [nx, ny] = [(-(to[1] - from[1]) / length) * tick, ((to[0] - from[0]) / length) * tick];
      const across = ([x, y]: Dot): string => `M${at([x - nx, y - ny])}L${at([x + nx, y + ny])}`;
      return `M${at(from)}L${at(to)}${across(from)}${across(to)}`;
    })
    .join('');
}

function dotsOf(detail: Corner): (dot: Dot) => string {
  const [left, top] = cornerOf(detail);
  return ([x, y]) => `${short(left + x)} ${short(top + y)}`;
}

/** The region's own raster begins at a whole pixel. */
function cornerOf({ boxPx: [x, y] }: Corner): Dot {
  return [Math.floor(Math.max(0, x)), Math.floor(Math.max(0, y))];
}

function lineOf(points: readonly number[], left: number, top: number): string {
  let d = '';
  for (let i = 0; i + 1 < points.length; i += 2) {
    d += `${i === 0 ? 'M' : 'L'}${short(left + points[i])} ${short(top + points[i + 1])}`;
  }
  return d;
}

/** A hundredth of a pixel is nothing to be seen. */
function short(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** Where a few letters show what was measured: about the longest hair, else about a middling width. px of the scan; null: nothing to show. */
export function tellingBox(
  detail: Pick<RegionDetail, 'boxPx' | 'edge'>,
  quantity: string,
  sidePx: number,
): readonly [x: number, y: number, width: number, height: number] | null {
  const { edge } = detail;
  if (!edge) return null;
  const byWidth = edge.whiskers.toSorted((a, b) => a.widthMm - b.widthMm);
  const shown = (quantity.startsWith('feathering') ? edge.hairs[0] : undefined) ?? byWidth[byWidth.length >> 1];
  if (!shown) return null;
  const [left, top] = cornerOf(detail);
  const [x, y] = [left + (shown.from[0] + shown.to[0]) / 2, top + (shown.from[1] + shown.to[1]) / 2];
  return [x - sidePx / 2, y - sidePx / 2, sidePx, sidePx];
}
