import type { Work } from '../../electron/backend/api.ts';

/** A region's own paper, else its scan's; null: nobody named it. */
export function paperOf(work: Work, id: string): string | null {
  const region = work.regions.find((r) => r.region.id === id)?.region;
  if (!region) return null;
  return region.paper ?? work.scans.find((scan) => scan.id === region.scan)?.paper ?? null;
}
