import type { WorkRegion, WorkScan } from '../../electron/backend/api.ts';

/** What plots need to know of an ink's work; a `Work` is one. */
export interface PlottedWork {
  readonly scans: readonly Pick<WorkScan, 'id' | 'paper'>[];
  readonly regions: readonly Pick<WorkRegion, 'region'>[];
}

/** A region's own paper, else its scan's; null: nobody named it. */
export function paperOf(work: PlottedWork, id: string): string | null {
  const region = work.regions.find((r) => r.region.id === id)?.region;
  if (!region) return null;
  return region.paper ?? work.scans.find((scan) => scan.id === region.scan)?.paper ?? null;
}
