/** Which targets lie on a scan and which scans each serves; one of them serves a scan. */
import type { DocumentTarget, TargetView, Work } from '../../electron/backend/api.ts';
import type { Point } from '../../analysis/raster/homography.ts';

export interface PlacedTarget {
  /** 'all', or the scan that has it for its own: what `setTarget` calls `serves`. */
  readonly serves: string;
  readonly target: DocumentTarget;
}

type TargetWork = Pick<Work, 'target'> & { readonly scans: readonly Pick<Work['scans'][number], 'id' | 'target'>[] };

export function targetsOn({ target, scans }: TargetWork, scan: string): PlacedTarget[] {
  const all = target ? [{ serves: 'all', target }] : [];
  const own = scans.flatMap(({ id, target: of }) => (of ? [{ serves: id, target: of }] : []));
  return [...all, ...own].filter((placed) => placed.target.scan === scan);
}

/** Every target that the ink's work names. */
export function allTargets({ target, scans }: TargetWork): DocumentTarget[] {
  return [target, ...scans.map((scan) => scan.target)].filter((one) => one !== null);
}

/** The target whose calibration a scan's colours come from; null: none. */
export function targetServing({ target, scans }: TargetWork, scan: string): PlacedTarget | null {
  const own = scans.find(({ id }) => id === scan)?.target;
  if (own) return { serves: scan, target: own };
  return target ? { serves: 'all', target } : null;
}

/** Ids of the scans that a target serves. */
export function servedBy(work: TargetWork, { serves }: PlacedTarget): string[] {
  if (serves !== 'all') return [serves];
  return work.scans.filter(({ target }) => target === null).map(({ id }) => id);
}

/** Scans with the targets whose light a scan tells as their white sheet. */
export function whiteSheetFor(work: TargetWork, scan: string): string[] {
  const told = allTargets(work).filter(({ white }) => white === scan);
  return [...new Set(told.map((target) => target.scan))];
}

/** Whether a calibrated target is the one that the document speaks of, or still the one before its points were changed. */
export function isUpToDate(
  view: Pick<TargetView, 'found' | 'pointsPx'>,
  { pointsMm }: DocumentTarget,
  pxPerMm: number | null,
): boolean {
  if (!pointsMm || pxPerMm === null) return pointsMm === undefined && view.found;
  return pointsMm.every(([x, y], i) => {
    const [usedX, usedY] = view.pointsPx[i];
    return Math.hypot(usedX - x * pxPerMm, usedY - y * pxPerMm) < 1;
  });
}

/** Clockwise from the top left, as a layout has them. */
export const POINT_NAMES = ['top left', 'top right', 'bottom right', 'bottom left'] as const;

export type FourPoints = readonly [Point, Point, Point, Point];

export function fourPoints(points: readonly Point[]): FourPoints | null {
  const [a, b, c, d] = points;
  return points.length === 4 ? [a, b, c, d] : null;
}

export function withPoint(points: FourPoints, index: number, at: Point): FourPoints {
  const next = points.map((p, i) => (i === index ? at : p));
  return fourPoints(next) ?? points;
}

/** The same target with its points or its white sheet set, or without them (null). */
export function targetWith(
  target: DocumentTarget,
  change: { readonly pointsMm?: DocumentTarget['pointsMm'] | null; readonly white?: string | null },
): DocumentTarget {
  const { scan, layout, reference } = target;
  const pointsMm = change.pointsMm === undefined ? target.pointsMm : change.pointsMm;
  const white = change.white === undefined ? target.white : change.white;
  return { scan, layout, reference, ...(pointsMm && { pointsMm }), ...(white != null && { white }) };
}
