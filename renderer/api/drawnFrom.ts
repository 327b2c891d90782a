/** Edits with what they were made from: the library then leaves alone what another window changed beside it, and tells what it overtook. */
import type { Edit, Work } from '../../electron/backend/api.ts';

/** @param seen the work that the edit was made of, with all that this window did before it */
export function drawnFrom(edit: Edit, seen: Work | null): Edit {
  if (seen === null || ('from' in edit && edit.from !== undefined)) return edit;
  switch (edit.edit) {
    case 'changeScan': {
      const scan = seen.scans.find(({ id }) => id === edit.id);
      if (!scan) return edit;
      const { id, paper, side, of } = scan;
      return { ...edit, from: { id, paper, side, of, dpi: scan.dpiFrom === 'person' ? scan.dpi : null } };
    }
    case 'setTarget': {
      const of = edit.serves === 'all' ? seen : seen.scans.find(({ id }) => id === edit.serves);
      return of ? { ...edit, from: of.target } : edit;
    }
    case 'removeRegions': {
      const seenAs = (id: string) => seen.regions.find(({ region }) => region.id === id)?.region ?? null;
      return { ...edit, from: edit.ids.map(seenAs) };
    }
    case 'removeScan': {
      const scan = seen.scans.find(({ id }) => id === edit.id);
      if (!scan) return edit;
      const { id, paper, side, of, target } = scan;
      const regions = seen.regions.flatMap(({ region }) => (region.scan === id ? [region] : []));
      const dpi = scan.dpiFrom === 'person' ? scan.dpi : null;
      return { ...edit, from: { id, paper, side, of, dpi, target, regions } };
    }
    case 'changeInk': {
      const { name, maker, claim } = seen.ink;
      return { ...edit, from: { name, maker, claim } };
    }
    default:
      return edit;
  }
}
