/** Where patches lie in their scan. All px of the scan. */
import type { Point } from '../../analysis/raster/homography.ts';
import type { ReportPatch } from '../../electron/backend/api.ts';
import type { ViewAt } from '../viewer/placeInAddress.ts';

type Placed = Pick<ReportPatch, 'cornersPx'>;
type Box = readonly [x: number, y: number, width: number, height: number];

/** The patch under a point, by whether it lies left of no side (or right of none: a target may lie either way round). */
export function patchAt<P extends Placed>(patches: readonly P[], [x, y]: Point): P | null {
  return (
    patches.find(({ cornersPx }) => {
      const sides = cornersPx.map(([x1, y1], i) => {
        const [x2, y2] = cornersPx[(i + 1) % cornersPx.length];
        return (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1);
      });
      return sides.every((side) => side >= 0) || sides.every((side) => side <= 0);
    }) ?? null
  );
}

export function patchBox({ cornersPx }: Placed): Box {
  return around(cornersPx);
}

/** The pane's width over its height on a small screen; on larger ones there is room to spare. */
const PANE = 2.25;
const ROOM = 1.14;

/** What to look at first: the whole target, with a little room. */
export function targetAt(pointsPx: readonly Point[], patches: readonly Placed[]): ViewAt {
  const [x, y, width, height] = around([...pointsPx, ...patches.flatMap(({ cornersPx }) => cornersPx)]);
  return { x: x + width / 2, y: y + height / 2, width: ROOM * Math.max(width, height * PANE) };
}

function around(points: readonly Point[]): Box {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
}

/** Patches are read in their inner 60 % (docs/measures.md, Calibration). */
const READ_SHARE = 0.6;

/** The part of each that was read. */
export function readPartsOf(patches: readonly Placed[]): readonly Placed[] {
  return patches.map(({ cornersPx }) => {
    const middle = [0, 1].map((axis) => cornersPx.reduce((sum, p) => sum + p[axis], 0) / cornersPx.length);
    return {
      cornersPx: cornersPx.map(([x, y]): Point => [
        middle[0] + READ_SHARE * (x - middle[0]),
        middle[1] + READ_SHARE * (y - middle[1]),
      ]),
    };
  });
}

/** The outline of each as one path. */
export function outlinesOf(patches: readonly Placed[]): string {
  return patches.map(({ cornersPx }) => `M${cornersPx.map((p) => p.join(' ')).join('L')}Z`).join('');
}

/** Both diagonals of each as one path. */
export function crossesOf(patches: readonly Placed[]): string {
  return patches
    .map(({ cornersPx: [a, b, c, d] }) => `M${a.join(' ')}L${c.join(' ')}M${b.join(' ')}L${d.join(' ')}`)
    .join('');
}
