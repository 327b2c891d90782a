/**
 * What a person saw where an edit was made: the work with all that this window had done to it and the library had not answered to. What an
 * edit was made from is of that, or the window's own edit before it would pass for another window's.
 */
import type { Edit, SheetRegion, Work } from '../../electron/backend/api.ts';

export interface OwnEdit {
  readonly edit: Edit;
  /** It changed nothing then. */
  isRefused: boolean;
}

/** Without an answer, by ink, in their order. */
const pending = new Map<number, readonly OwnEdit[]>();

/** @returns how it is told what came of it */
export function ownEdit(ink: number, edit: Edit): { readonly ended: (isRefused: boolean) => void } {
  const own: OwnEdit = { edit, isRefused: false };
  pending.set(ink, [...pendingOf(ink), own]);
  return {
    ended: (isRefused) => {
      own.isRefused = isRefused;
      pending.set(
        ink,
        pendingOf(ink).filter((other) => other !== own),
      );
    },
  };
}

export function pendingOf(ink: number): readonly OwnEdit[] {
  return pending.get(ink) ?? [];
}

/** What scans, regions, targets and the ink are like after these. */
export function afterOwn(work: Work, edits: readonly OwnEdit[]): Work {
  return edits.reduce((now, { edit, isRefused }) => (isRefused ? now : after(now, edit)), work);
}

function after(work: Work, edit: Edit): Work {
  switch (edit.edit) {
    case 'addRegion':
      return { ...work, regions: [...work.regions, { region: edit.region, problem: null, measured: 'never' }] };
    case 'changeRegion': {
      const { id, region } = edit;
      return eachRegion(work, (other) => (other.id === id ? region : ofAnother(other, id, region.id)));
    }
    case 'removeRegions':
      return withoutRegions(work, edit.ids);
    case 'changeScan': {
      const { id, change } = edit;
      const { id: name = id, paper, side, of, dpi } = change;
      const scans = work.scans.map((scan) =>
        scan.id !== id
          ? scan
          : {
              ...scan,
              id: name,
              ...(paper !== undefined && { paper }),
              ...(side !== undefined && side !== null && { side }),
              ...(of !== undefined && { of }),
              ...(dpi !== undefined && { dpi, dpiFrom: dpi === null ? ('nobody' as const) : ('person' as const) }),
            },
      );
      return eachRegion({ ...work, scans }, (region) => (region.scan === id ? { ...region, scan: name } : region));
    }
    case 'removeScan': {
      const on = work.regions.flatMap(({ region }) => (region.scan === edit.id ? [region.id] : []));
      return { ...withoutRegions(work, on), scans: work.scans.filter(({ id }) => id !== edit.id) };
    }
    case 'setTarget':
      return edit.serves === 'all'
        ? { ...work, target: edit.target }
        : {
            ...work,
            scans: work.scans.map((scan) => (scan.id === edit.serves ? { ...scan, target: edit.target } : scan)),
          };
    case 'changeInk': {
      const { name, maker, claim = work.ink.claim } = edit;
      return { ...work, ink: { ...work.ink, name, maker, claim } };
    }
    default:
      return work;
  }
}

function eachRegion(work: Work, change: (region: SheetRegion) => SheetRegion): Work {
  return { ...work, regions: work.regions.map((one) => ({ ...one, region: change(one.region) })) };
}

function ofAnother(region: SheetRegion, id: string, name: string): SheetRegion {
  return id !== name && 'of' in region && region.of === id ? { ...region, of: name } : region;
}

/** Those that named a removed one stay, without the link. */
function withoutRegions(work: Work, ids: readonly string[]): Work {
  const left = work.regions.filter(({ region }) => !ids.includes(region.id));
  return eachRegion({ ...work, regions: left }, (region) => {
    if (!('of' in region) || region.of === undefined || !ids.includes(region.of)) return region;
    const { of: _, ...rest } = region;
    return rest;
  });
}
