/** The four points of the targets on one scan: as found or set, and while they are being moved. */
import { useRef, useState } from 'react';
import type { DocumentTarget, TargetView, WorkScan } from '../../electron/backend/api.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { edit } from '../api/store.ts';
import { inMm, pxPerMmOf } from './scanMeasures.ts';
import { roundMm } from './regionGeometry.ts';
import { inOrder } from './targetCorners.ts';
import { fourPoints, withPoint } from './targetsOn.ts';
import type { FourPoints, PlacedTarget } from './targetsOn.ts';

export interface TargetPoints {
  /** Px of the scan; null: neither found nor set. */
  readonly points: FourPoints | null;
  readonly problem: string | null;
  /** Not where the library has them yet. */
  readonly isMoved: boolean;
  /** The point within reach. */
  at(p: Point, reachPx: number): number | null;
  move(index: number, to: Point): void;
  /** Sends what was moved; the target is measured anew with it. */
  save(): void;
  drop(): void;
}

export function useTargetPoints(
  ink: number,
  scan: WorkScan,
  placed: readonly PlacedTarget[],
  view: TargetView | null,
): TargetPoints {
  const [moved, setMoved] = useState<FourPoints | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const latest = useRef<FourPoints | null>(null);
  /** On their way; and whether later places are to follow. */
  const flying = useRef(false);
  const following = useRef(false);
  const pxPerMm = pxPerMmOf(scan);
  const said = placed.find(({ target }) => target.pointsMm)?.target.pointsMm;
  const set = said && pxPerMm !== null ? fourPoints(said.map(([x, y]): Point => [x * pxPerMm, y * pxPerMm])) : null;
  const points = moved ?? set ?? (view ? fourPoints(view.pointsPx) : null);

  const show = (next: FourPoints | null): void => {
    latest.current = next;
    setMoved(next);
  };
  const save = async (): Promise<void> => {
    const next = latest.current;
    if (!next || pxPerMm === null) return;
    const ordered = inOrder(next);
    if (!ordered) {
      setProblem(
        'The four corners span nothing: one lies between the others, or on a line with two. Drag each to its own corner of the target.',
      );
      return;
    }
    if (flying.current) {
      following.current = true;
      return;
    }
    flying.current = true;
    const pointsMm = pointsInMm(ordered, pxPerMm);
    const refused = await Promise.all(
      placed.map(({ serves, target }) => edit(ink, { edit: 'setTarget', serves, target: { ...target, pointsMm } })),
    );
    flying.current = false;
    setProblem(refused.find((p) => p !== null)?.message ?? null);
    if (latest.current === next) show(null);
    else if (following.current) void save();
    following.current = false;
  };
  return {
    points,
    problem,
    isMoved: moved !== null,
    at: (p, reachPx) => {
      if (!points) return null;
      const away = points.map((q) => Math.hypot(p[0] - q[0], p[1] - q[1]));
      const nearest = away.indexOf(Math.min(...away));
      return away[nearest] <= reachPx ? nearest : null;
    },
    move: (index, to) => {
      const from = latest.current ?? points;
      if (from) show(withPoint(from, index, to));
    },
    save: () => void save(),
    drop: () => {
      setProblem(null);
      show(null);
    },
  };
}

export function pointsInMm(points: FourPoints, pxPerMm: number): NonNullable<DocumentTarget['pointsMm']> {
  const mm = (p: Point): [number, number] => {
    const [x, y] = inMm(p, pxPerMm);
    return [roundMm(x), roundMm(y)];
  };
  return [mm(points[0]), mm(points[1]), mm(points[2]), mm(points[3])];
}
