/** The id that a region came with stays with it: chance is drawn and findings are kept by that, so that a new name changes nothing measured. */
import type { SheetRegion } from '../sheet/sheetSchema.ts';

/** `firstId` is there once the region was renamed, and no two regions of an ink have the same. */
export type DocumentRegion = SheetRegion & { readonly firstId?: string };

export function firstIdOf({ id, firstId }: Pick<DocumentRegion, 'id' | 'firstId'>): string {
  return firstId ?? id;
}

/** As a sheet and the window have it. */
export function sheetRegion(region: DocumentRegion): SheetRegion {
  const { firstId: _, ...said } = region;
  return said;
}

export function withFirstId(region: SheetRegion, firstId: string): DocumentRegion {
  return firstId === region.id ? region : { ...region, firstId };
}

/**
 * For a region that is new: its id, or where another came with that one, the same with a number.
 * @param measured first ids under which figures are kept: a removed region's are not the new one's, whatever that is called
 */
export function newFirstId(id: string, regions: readonly DocumentRegion[], measured: Iterable<string>): string {
  const taken = new Set([...regions.map(firstIdOf), ...measured]);
  let first = id;
  for (let n = 2; taken.has(first); n++) first = `${id}-${n}`;
  return first;
}

/** First id → today's. Null where nothing was renamed: they are the same. */
export function calledNow(regions: readonly DocumentRegion[]): ((first: string) => CalledNow) | null {
  if (regions.every(({ firstId }) => firstId === undefined)) return null;
  const now = new Map(regions.map((region) => [firstIdOf(region), region.id]));
  const names = new Set(now.values());
  return (first) => ({ id: now.get(first) ?? first, isGone: !now.has(first) && names.has(first) });
}

interface CalledNow {
  readonly id: string;
  /** That region is gone, and another bears its name by now. */
  readonly isGone: boolean;
}
