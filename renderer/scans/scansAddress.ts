/** What the Scans page shows, as its address keeps it. */
import { readAt, writeAt } from '../viewer/placeInAddress.ts';
import type { ViewAt } from '../viewer/placeInAddress.ts';

export interface ScansPlace {
  /** Ids of the scans side by side, one to four. */
  readonly shown: readonly string[];
  /** The one that keys and `at` belong to. */
  readonly active: string | null;
  /** Ids of chosen regions. */
  readonly chosen: readonly string[];
  readonly at: ViewAt | null;
}

export const MOST_SHOWN = 4;

/** Ids hold no semicolon (sheetSchema.ts). Names of scans and regions that have gone are passed over. */
export function readScansPlace(
  query: Readonly<Record<string, string | undefined>>,
  scans: readonly { readonly id: string }[],
  regions: readonly { readonly id: string; readonly scan: string }[],
): ScansPlace {
  const chosen = list(query.region).filter((id) => regions.some((region) => region.id === id));
  const asked = list(query.scan).filter((id) => scans.some((scan) => scan.id === id));
  const home = regions.find((region) => region.id === chosen[0])?.scan;
  // An address with a region alone leads to its scan.
  const shown = asked.length > 0 ? asked : [home ?? scans.at(0)?.id].filter((id) => id !== undefined);
  const active = query.view !== undefined && shown.includes(query.view) ? query.view : (shown.at(0) ?? null);
  return { shown: [...new Set(shown)].slice(0, MOST_SHOWN), active, chosen, at: readAt(query.at) };
}

export function writeScansPlace({ shown, active, chosen, at }: ScansPlace): Record<string, string> {
  return {
    ...(shown.length > 0 && { scan: shown.join(';') }),
    ...(active !== null && active !== shown.at(0) && { view: active }),
    ...(chosen.length > 0 && { region: chosen.join(';') }),
    ...(at && { at: writeAt(at) }),
  };
}

/** Shows one scan in the active one's place; one that is shown already becomes active. */
export function withScanOpened(place: ScansPlace, id: string): ScansPlace {
  if (place.shown.includes(id)) return place.active === id ? place : { ...place, active: id, at: null };
  const shown = place.shown.map((other) => (other === place.active ? id : other));
  return { shown: shown.length > 0 ? shown : [id], active: id, chosen: [], at: null };
}

/** Adds a scan beside the others, or takes it away; the last one stays. */
export function withScanToggled(place: ScansPlace, id: string): ScansPlace {
  if (!place.shown.includes(id)) {
    if (place.shown.length >= MOST_SHOWN) return place;
    return { ...place, shown: [...place.shown, id], active: id, at: null };
  }
  const shown = place.shown.filter((other) => other !== id);
  if (shown.length === 0) return place;
  const active = place.active === id ? shown[0] : place.active;
  return { ...place, shown, active, at: active === place.active ? place.at : null };
}

function list(text: string | undefined): string[] {
  return (text ?? '').split(';').filter((id) => id !== '');
}
