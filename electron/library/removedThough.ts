/** What another window had changed of things that are removed here: their removal is not what anybody there meant. */
import { isDeepStrictEqual } from 'node:util';
import type { DocumentScan, Edit, InkDocument, RemovedScan } from './document.ts';
import { sheetRegion } from './firstId.ts';

export type Removal = Extract<Edit, { edit: 'removeRegions' | 'removeScan' }>;

/**
 * @param edit With today's names, of things that are there.
 * @returns Their names: of what is not as `from` says, and of what lies on a scan and was not seen there. Null: the edit does not say what was seen.
 */
export function changedSinceSeen(edit: Removal, { scans, regions }: InkDocument): readonly string[] | null {
  if (!edit.from) return null;
  if (edit.edit === 'removeRegions') {
    const { ids, from } = edit;
    return ids.filter((id, i) => {
      const now = regions.find((region) => region.id === id);
      return from[i] && !isDeepStrictEqual(from[i], now && sheetRegion(now));
    });
  }
  const { regions: seen, ...scan } = edit.from;
  const now = scans.find(({ id }) => id === edit.id);
  const on = regions.filter((region) => region.scan === edit.id);
  return [
    ...(now && !isDeepStrictEqual(scan, scanAsSeen(now)) ? [edit.id] : []),
    ...on.filter((region) => !seen.some((one) => isDeepStrictEqual(one, sheetRegion(region)))).map(({ id }) => id),
  ];
}

function scanAsSeen({ id, paper, side, of, dpi, target }: DocumentScan): Omit<RemovedScan, 'regions'> {
  return {
    id,
    paper: paper ?? null,
    side: side ?? 'front',
    of: of ?? null,
    dpi: dpi ?? null,
    target: target ?? null,
  };
}
