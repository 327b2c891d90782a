/** An edit with today's names in place of those that things had where it was made: another window may have renamed them since. */
import type { SheetRegion } from '../sheet/sheetSchema.ts';
import type { DocumentTarget, Edit, InkDocument } from './document.ts';
import type { DocumentDelta } from './documentDelta.ts';
import { nameNow } from './renamedSince.ts';

export type Named = 'scans' | 'regions';

/** @param steps as for `nameNow`; asked only when a name is not there any more */
export function asNowCalled(edit: Edit, document: InkDocument, steps: () => readonly DocumentDelta[]): Edit {
  const now = (what: Named, name: string): string => {
    const isThere = (id: string): boolean => document[what].some((thing) => thing.id === id);
    return isThere(name) ? name : nameNow(steps(), what, name, isThere);
  };
  const links = (region: SheetRegion): SheetRegion => {
    const scan = now('scans', region.scan);
    return 'of' in region && region.of !== undefined
      ? { ...region, scan, of: now('regions', region.of) }
      : { ...region, scan };
  };
  const target = <T extends DocumentTarget | null | undefined>(made: T): T | DocumentTarget =>
    made
      ? {
          ...made,
          scan: now('scans', made.scan),
          ...(made.white !== undefined && { white: now('scans', made.white) }),
        }
      : made;
  const front = <T extends { readonly of?: string | null }>(said: T): T =>
    typeof said.of === 'string' ? { ...said, of: now('scans', said.of) } : said;
  switch (edit.edit) {
    case 'changeRegion': {
      const id = now('regions', edit.id);
      const { region, from } = edit;
      const named = { ...links(region), id: region.id === edit.id && from ? id : region.id };
      return from
        ? { ...edit, id, from: { ...links(from), id: from.id === edit.id ? id : from.id }, region: named }
        : { ...edit, region: named };
    }
    // What was seen keeps its own name: that another window gave it a new one is told.
    case 'removeRegions':
      return {
        ...edit,
        ids: edit.ids.map((id) => now('regions', id)),
        ...(edit.from && { from: edit.from.map((region) => region && links(region)) }),
      };
    case 'changeScan':
      return {
        ...edit,
        id: now('scans', edit.id),
        change: front(edit.change),
        ...(edit.from && { from: front(edit.from) }),
      };
    case 'removeScan': {
      const { from } = edit;
      const id = now('scans', edit.id);
      return { ...edit, id, ...(from && { from: { ...from, regions: from.regions.map(links) } }) };
    }
    case 'addRegion':
      return { ...edit, region: links(edit.region) };
    case 'setTarget':
      return {
        ...edit,
        serves: edit.serves === 'all' ? edit.serves : now('scans', edit.serves),
        target: target(edit.target),
        ...(edit.from !== undefined && { from: target(edit.from) }),
      };
    default:
      return edit;
  }
}
