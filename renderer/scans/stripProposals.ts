/** Strips that were found on a scan and wait for a person to take or leave them; kept while the window is open. */
import type { SheetRegion, WorkScan } from '../../electron/backend/api.ts';
import type { FoundStrip } from '../../electron/backend/stripAnswers.ts';
import { getStripsOnScan, problemOf } from '../api/client.ts';
import { Kept, useKept } from '../api/kept.ts';
import type { BoxMm } from './regionGeometry.ts';
import { rounded, type ScanSizeMm } from './regionGeometry.ts';
import { proposalScan } from './proposalScan.ts';
import { proposedRegion } from './regionProposals.ts';

export type StripSearch =
  | { readonly state: 'not-asked' }
  | { readonly state: 'looking' }
  | { readonly state: 'failed'; readonly message: string }
  | { readonly state: 'found'; readonly strips: readonly FoundStrip[] };

const searches = new Kept<string, StripSearch>({ state: 'not-asked' });

export function useStripSearch(ink: number, scan: string): StripSearch {
  return useKept(searches, keyOf(ink, scan));
}

export async function lookForStrips(ink: number, scan: string): Promise<void> {
  const key = keyOf(ink, scan);
  searches.put(key, { state: 'looking' });
  try {
    const { strips } = await getStripsOnScan(ink, scan);
    searches.put(key, { state: 'found', strips });
  } catch (error) {
    searches.put(key, { state: 'failed', message: problemOf(error).message });
  }
}

/** One that nobody wants. */
export function leaveStrip(ink: number, scan: string, strip: FoundStrip): void {
  const key = keyOf(ink, scan);
  const search = searches.get(key);
  if (search.state !== 'found') return;
  searches.put(key, { state: 'found', strips: search.strips.filter((other) => other !== strip) });
}

/** Those that no region of a strip lies on yet. */
export function offeredStrips(
  search: StripSearch,
  scan: string,
  regions: readonly SheetRegion[],
): readonly FoundStrip[] {
  if (search.state !== 'found') return [];
  const boxes = regions.flatMap((r) => (r.kind === 'strip' && r.scan === scan && r.boxMm ? [r.boxMm] : []));
  return search.strips.filter(({ boxMm }) => !boxes.some((box) => shared(boxMm, box) > MUCH_SHARED));
}

/** A region as it would be taken: where it lies and which way the liquid went; origin and front stay to be found. */
export function stripRegion(
  { boxMm, travel }: FoundStrip,
  scan: Pick<WorkScan, 'id' | 'side' | 'of'>,
  size: ScanSizeMm,
  regions: readonly SheetRegion[],
): SheetRegion {
  const [x, y, width, height] = boxMm;
  const box: BoxMm = rounded([x, y, Math.min(width, size.width - x), Math.min(height, size.height - y)]);
  const region = proposedRegion('strip', proposalScan(scan, size), box, regions);
  return region.kind === 'strip' ? { ...region, travel } : region;
}

const MUCH_SHARED = 0.5;

/** Of the smaller of two boxes, the share that lies in the other. */
function shared(a: BoxMm, b: BoxMm): number {
  const across = Math.min(a[0] + a[2], b[0] + b[2]) - Math.max(a[0], b[0]);
  const down = Math.min(a[1] + a[3], b[1] + b[3]) - Math.max(a[1], b[1]);
  return across <= 0 || down <= 0 ? 0 : (across * down) / Math.min(a[2] * a[3], b[2] * b[3]);
}

function keyOf(ink: number, scan: string): string {
  return `${ink}/${scan}`;
}
