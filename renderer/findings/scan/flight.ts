/** Where the views go when a finding is chosen. Pure. */
import type { RegionDetail, SheetRegion, WorkScan } from '../../../electron/backend/api.ts';
import type { QuantityName } from '../../../analysis/quantity.ts';
import { tellingBox } from '../marks/edgePaths.ts';
import type { ViewPlace } from '../../viewer/viewPlace.ts';
import { boxWithProfile } from '../strip/stripPlace.ts';
import { around, type BoxPx, boxPxOf, equallyLarge } from './regionBox.ts';

/** A box that fills this much of the view is looked at closely enough. */
const ENOUGH = 0.42;

/** Edges are looked at closely: a few letters, mm. */
const EDGE_MM = 9;

/**
 * What a scan should show of the chosen regions, the profile beside a strip included; null: nothing lies on it.
 * @param ofEdges a quantity of edges, of which one place is enough; null: the regions whole.
 */
export function boxOnScan(
  scan: Pick<WorkScan, 'id' | 'dpi'>,
  chosen: readonly SheetRegion[],
  details: Readonly<Record<string, RegionDetail>>,
  place: Pick<ViewPlace, 'size'>,
  ofEdges: QuantityName | null = null,
): BoxPx | null {
  const { dpi } = scan;
  if (dpi === null) return null;
  return around(
    chosen.flatMap((region) => {
      const box = region.scan === scan.id ? boxPxOf(region, dpi) : null;
      if (box === null) return [];
      const detail = details[region.id];
      const telling = ofEdges === null || !detail ? null : tellingBox(detail, ofEdges, (EDGE_MM * dpi) / 25.4);
      if (telling !== null) return [telling];
      const strip = detail?.strip;
      return [strip ? boxWithProfile(strip, box, place.size.width, place.size.height) : box];
    }),
  );
}

/** Each view's aim, all at one scale; null where a view shows its box well already, or has none. @param anyway aim even then */
export function aims(
  views: readonly { readonly box: BoxPx | null; readonly dpi: number | null; readonly place: ViewPlace }[],
  anyway = false,
): readonly (BoxPx | null)[] {
  const boxes = views.flatMap(({ box, dpi }) => (box === null || dpi === null ? [] : [{ box, dpi }]));
  if (boxes.length === 0) return views.map(() => null);
  const large = equallyLarge(boxes);
  const all = views.map(({ box }) => (box === null ? null : large[boxes.findIndex((b) => b.box === box)]));
  const well = !anyway && views.every(({ place }, i) => all[i] === null || isSeenWell(all[i], place));
  return well ? views.map(() => null) : all;
}

function isSeenWell([x, y, width, height]: BoxPx, { boxPx: [left, top, across, down] }: ViewPlace): boolean {
  const inside = x >= left && y >= top && x + width <= left + across && y + height <= top + down;
  return inside && Math.max(width / across, height / down) >= ENOUGH;
}
