/** The four points of the targets on one scan: as found or set, and while they are being placed. */
import type { DocumentTarget, TargetView, WorkScan } from '../../electron/backend/api.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { dropCorner, moveCorner, settleCorners, useCornerDraft } from './cornerDraft.ts';
import { inMm, pxPerMmOf } from './scanMeasures.ts';
import { roundMm } from './regionGeometry.ts';
import { fourPoints } from './targetsOn.ts';
import type { FourPoints, PlacedTarget } from './targetsOn.ts';

export interface TargetPoints {
  /** Px of the scan; null: neither found nor set. */
  readonly points: FourPoints | null;
  /** A person has them in hand: the library does not know them yet. */
  readonly isPlacing: boolean;
  /** The point within reach. */
  at(p: Point, reachPx: number): number | null;
  move(index: number, to: Point): void;
  /** Ends a gesture. @param gesture Names it, when more of the same is one step with it. */
  settle(gesture?: string): void;
  drop(): void;
}

export function useTargetPoints(
  ink: number,
  scan: WorkScan,
  placed: readonly PlacedTarget[],
  view: TargetView | null,
): TargetPoints {
  const draft = useCornerDraft(ink, scan.id);
  const pxPerMm = pxPerMmOf(scan);
  const said = placed.find(({ target }) => target.pointsMm)?.target.pointsMm;
  const set = said && pxPerMm !== null ? fourPoints(said.map(([x, y]): Point => [x * pxPerMm, y * pxPerMm])) : null;
  const known = set ?? (view ? fourPoints(view.pointsPx) : null);
  const points = draft?.points ?? known;
  return {
    points,
    isPlacing: draft !== null,
    at: (p, reachPx) => {
      if (!points) return null;
      const away = points.map((q) => Math.hypot(p[0] - q[0], p[1] - q[1]));
      const nearest = away.indexOf(Math.min(...away));
      return away[nearest] <= reachPx ? nearest : null;
    },
    move: (index, to) => {
      if (points) moveCorner(ink, scan.id, points, index, to);
    },
    settle: (gesture) => settleCorners(ink, scan.id, gesture ?? null),
    drop: () => dropCorner(ink, scan.id),
  };
}

export function pointsInMm(points: FourPoints, pxPerMm: number): NonNullable<DocumentTarget['pointsMm']> {
  const mm = (p: Point): [number, number] => {
    const [x, y] = inMm(p, pxPerMm);
    return [roundMm(x), roundMm(y)];
  };
  return [mm(points[0]), mm(points[1]), mm(points[2]), mm(points[3])];
}
