/**
 * What a person saw where an edit was made: the work with all that this window had done to it and the library had not answered to. What an
 * edit was made from is of that, or the window's own edit before it would pass for another window's.
 */
import type { Edit, Work } from '../../electron/backend/api.ts';

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

/** What scans, targets and the ink are like after these; regions say themselves what they were made from. */
export function afterOwn(work: Work, edits: readonly OwnEdit[]): Work {
  return edits.reduce((now, { edit, isRefused }) => (isRefused ? now : after(now, edit)), work);
}

function after(work: Work, edit: Edit): Work {
  switch (edit.edit) {
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
      return { ...work, scans };
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
