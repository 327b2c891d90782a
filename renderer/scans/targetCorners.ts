/** A target's four points as a person handles them: started, kept in order, turned, and the grid that they span. Pure; px of the scan. */
import type { TargetGrid } from '../../electron/backend/api.ts';
import { homography, mapPoint } from '../../analysis/raster/homography.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { fourPoints } from './targetsOn.ts';
import type { FourPoints } from './targetsOn.ts';

interface SizePx {
  readonly widthPx: number;
  readonly heightPx: number;
}
type Box = readonly [x: number, y: number, width: number, height: number];

/** Most of what is in view that points may take which are placed by nobody yet. */
const MOST_OF_VIEW = 0.8;

/** Where points to be placed by hand start: the target upright in its true size, or as large as the view allows, in the middle of it. */
export function startingPoints(
  pointsMm: TargetGrid['pointsMm'],
  pxPerMm: number,
  inView: Box,
  { widthPx, heightPx }: SizePx,
): FourPoints {
  const [left, top] = [Math.max(0, inView[0]), Math.max(0, inView[1])];
  const seenWidth = Math.max(1, Math.min(widthPx, inView[0] + inView[2]) - left);
  const seenHeight = Math.max(1, Math.min(heightPx, inView[1] + inView[3]) - top);
  const [xs, ys] = [pointsMm.map(([x]) => x), pointsMm.map(([, y]) => y)];
  const [fromX, toX, fromY, toY] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const scale = Math.min(
    pxPerMm,
    (MOST_OF_VIEW * seenWidth) / (toX - fromX),
    (MOST_OF_VIEW * seenHeight) / (toY - fromY),
  );
  const place = ([x, y]: readonly [number, number]): Point => [
    left + seenWidth / 2 + scale * (x - (fromX + toX) / 2),
    top + seenHeight / 2 + scale * (y - (fromY + toY) / 2),
  ];
  const [a, b, c, d] = pointsMm;
  return [place(a), place(b), place(c), place(d)];
}

/**
 * The same places clockwise as seen, the first still the first: in whatever order a person drags four corners, they span the
 * target, and at most its turn is wrong. Null: one lies within the triangle of the others, or on a line with two.
 */
export function inOrder(points: FourPoints): FourPoints | null {
  const [cx, cy] = [0, 1].map((axis) => points.reduce((sum, p) => sum + p[axis] / 4, 0));
  const round = points.toSorted((p, q) => Math.atan2(p[1] - cy, p[0] - cx) - Math.atan2(q[1] - cy, q[0] - cx));
  const first = round.indexOf(points[0]);
  const ordered = fourPoints([...round.slice(first), ...round.slice(0, first)]);
  return ordered && isConvex(ordered) ? ordered : null;
}

/** Which place is the target's top left corner goes on by one, clockwise. */
export function turned([a, b, c, d]: FourPoints): FourPoints {
  return [b, c, d, a];
}

export interface GridPatch {
  readonly id: string;
  readonly cornersPx: readonly [Point, Point, Point, Point];
  /** Its middle third, for the reference's colour. */
  readonly middlePx: readonly [Point, Point, Point, Point];
  readonly lab: TargetGrid['patches'][number]['lab'];
}

/** Every patch where the four points put it. Null: they span nothing. */
export function gridAt(
  grid: Pick<TargetGrid, 'pointsMm' | 'patches'>,
  points: FourPoints,
): readonly GridPatch[] | null {
  const ordered = inOrder(points);
  if (!ordered) return null;
  const toPx = homography(grid.pointsMm, ordered);
  const box = ([x, y, width, height]: Box): GridPatch['cornersPx'] => [
    mapPoint(toPx, [x, y]),
    mapPoint(toPx, [x + width, y]),
    mapPoint(toPx, [x + width, y + height]),
    mapPoint(toPx, [x, y + height]),
  ];
  return grid.patches.map(({ id, boxMm, lab }) => {
    const [x, y, width, height] = boxMm;
    return {
      id,
      cornersPx: box(boxMm),
      middlePx: box([x + width / 3, y + height / 3, width / 3, height / 3]),
      lab,
    };
  });
}

/** Clockwise with every corner turning the same way, none of them nearly straight. */
function isConvex(points: FourPoints): boolean {
  return points.every((p, i) => {
    const [q, r] = [points[(i + 1) % 4], points[(i + 2) % 4]];
    const [ax, ay, bx, by] = [q[0] - p[0], q[1] - p[1], r[0] - q[0], r[1] - q[1]];
    return ax * by - ay * bx > 0.02 * Math.hypot(ax, ay) * Math.hypot(bx, by);
  });
}
