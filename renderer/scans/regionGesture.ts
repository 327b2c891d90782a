/** A drag over a scan that changes regions: what it began on, and what it has made of it so far. */
import type { SheetRegion } from '../../electron/backend/api.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { movedBox, resizedBox } from './regionGeometry.ts';
import type { Handle } from './regionGeometry.ts';
import type { RegionHit } from './regionHits.ts';
import { stripLinePlace, stripRunsAcross, withStripLine } from './stripLines.ts';
import type { StripLine } from './stripLines.ts';

export type RegionGesture =
  | { readonly does: 'move'; readonly from: Point; readonly regions: readonly SheetRegion[] }
  | { readonly does: 'resize'; readonly from: Point; readonly region: SheetRegion; readonly handle: Handle }
  | { readonly does: 'line'; readonly from: Point; readonly region: SheetRegion; readonly line: StripLine };

/** Null: the place is for panning, or for a click. A region moves only once it is chosen, so that a pan never shifts one. */
export function gestureOn(
  hit: RegionHit | null,
  at: Point,
  regions: readonly SheetRegion[],
  chosen: readonly string[],
): RegionGesture | null {
  const region = regions.find(({ id }) => id === hit?.id);
  if (!hit || !region) return null;
  if (hit.hit === 'handle') return { does: 'resize', from: at, region, handle: hit.handle };
  if (hit.hit === 'line') return { does: 'line', from: at, region, line: hit.line };
  if (!chosen.includes(hit.id)) return null;
  return { does: 'move', from: at, regions: regions.filter((r) => chosen.includes(r.id) && r.scan === region.scan) };
}

/** The regions as the drag has them now. @param at mm. */
export function draggedRegions(gesture: RegionGesture, at: Point): SheetRegion[] {
  const byX = at[0] - gesture.from[0];
  const byY = at[1] - gesture.from[1];
  if (gesture.does === 'move') return gesture.regions.map((region) => movedRegion(region, byX, byY));
  const { region } = gesture;
  if (!region.boxMm) return [region];
  if (gesture.does === 'resize') return [withBox(region, resizedBox(region.boxMm, gesture.handle, byX, byY))];
  if (region.kind !== 'strip') return [region];
  const place = stripLinePlace(region, gesture.line) ?? 0;
  return [withStripLine(region, gesture.line, place + (stripRunsAcross(region) ? byX : byY))];
}

export function movedRegion(region: SheetRegion, byX: number, byY: number): SheetRegion {
  return region.boxMm ? withBox(region, movedBox(region.boxMm, byX, byY)) : region;
}

export function withBox(
  region: SheetRegion,
  [x, y, width, height]: readonly [number, number, number, number],
): SheetRegion {
  return { ...region, boxMm: [x, y, width, height] };
}

/** CSS cursor over what a press would take. */
export function cursorOn(hit: RegionHit | null, chosen: readonly string[], regions: readonly SheetRegion[]): string {
  if (!hit) return '';
  if (hit.hit === 'handle') return CURSORS[hit.handle];
  if (hit.hit === 'line') {
    const strip = regions.find(({ id }) => id === hit.id);
    return strip?.kind === 'strip' && stripRunsAcross(strip) ? 'ew-resize' : 'ns-resize';
  }
  return chosen.includes(hit.id) ? 'move' : 'pointer';
}

const CURSORS: Readonly<Record<Handle, string>> = {
  nw: 'nwse-resize',
  se: 'nwse-resize',
  ne: 'nesw-resize',
  sw: 'nesw-resize',
  n: 'ns-resize',
  s: 'ns-resize',
  e: 'ew-resize',
  w: 'ew-resize',
};
