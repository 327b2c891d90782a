/** What lies under the pointer: a handle or line of a chosen region, else the smallest region there. */
import type { SheetRegion } from '../../electron/backend/api.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { HANDLES, handlePoint } from './regionGeometry.ts';
import type { Handle } from './regionGeometry.ts';
import { stripLinePlace, stripRunsAcross } from './stripLines.ts';
import type { StripLine } from './stripLines.ts';

export type RegionHit =
  | { readonly hit: 'handle'; readonly id: string; readonly handle: Handle }
  | { readonly hit: 'line'; readonly id: string; readonly line: StripLine }
  | { readonly hit: 'body'; readonly id: string };

/** @param at mm. @param reachMm how near counts as on it. Handles are for one chosen region alone. */
export function regionAt(
  at: Point,
  regions: readonly SheetRegion[],
  chosen: readonly string[],
  reachMm: number,
): RegionHit | null {
  const own = regions.filter((region) => chosen.includes(region.id));
  if (own.length === 1) {
    const [region] = own;
    const handle = handleAt(at, region, reachMm);
    if (handle) return { hit: 'handle', id: region.id, handle };
  }
  for (const region of own) {
    const line = lineAt(at, region, reachMm);
    if (line) return { hit: 'line', id: region.id, line };
  }
  const under = regions
    .filter((region) => region.boxMm && inside(at, region.boxMm, reachMm / 2))
    .toSorted((p, q) => area(p) - area(q));
  return under.length > 0 ? { hit: 'body', id: under[0].id } : null;
}

function handleAt(at: Point, { boxMm }: SheetRegion, reachMm: number): Handle | null {
  if (!boxMm) return null;
  const away = (handle: Handle): number => {
    const [x, y] = handlePoint(boxMm, handle);
    return Math.hypot(at[0] - x, at[1] - y);
  };
  const nearest = HANDLES.reduce((best, handle) => (away(handle) < away(best) ? handle : best));
  return away(nearest) <= reachMm ? nearest : null;
}

function lineAt(at: Point, region: SheetRegion, reachMm: number): StripLine | null {
  if (region.kind !== 'strip' || !region.boxMm || !inside(at, region.boxMm, 0)) return null;
  const [x, y] = region.boxMm;
  const along = stripRunsAcross(region) ? at[0] - x : at[1] - y;
  const near = (['origin', 'front'] as const).filter((line) => {
    const place = stripLinePlace(region, line);
    return place !== null && Math.abs(place - along) <= reachMm;
  });
  return near[0] ?? null;
}

function inside(at: Point, [x, y, width, height]: readonly number[], margin: number): boolean {
  return at[0] >= x - margin && at[1] >= y - margin && at[0] <= x + width + margin && at[1] <= y + height + margin;
}

function area({ boxMm }: SheetRegion): number {
  return boxMm ? boxMm[2] * boxMm[3] : Infinity;
}
