import { useEffect } from 'react';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { useKeys } from '../look/useKeys.ts';
import type { Bench } from './bench.ts';
import { cornerDraft, leaveCorners, takeCornerBack, turnCorners } from './cornerDraft.ts';
import type { CornerDraft } from './cornerDraft.ts';
import { inOrder } from './targetCorners.ts';
import type { FourPoints } from './targetsOn.ts';

export interface PlaceCornersProps {
  readonly bench: Pick<Bench, 'ink' | 'drag'>;
  readonly scan: string;
  readonly draft: CornerDraft;
  /** To be read after "Put the four points on". */
  readonly where: string;
  /** Why the library would not have them; null: nobody asked it, or it will. */
  readonly problem: string | null;
  /** @returns whether the library has them. */
  readonly onUse: (points: FourPoints) => Promise<boolean>;
}

/** What stands beside the scan while its target's corners are placed by hand. */
export function PlaceCorners({ bench: { ink, drag }, scan, draft, where, problem, onUse }: PlaceCornersProps) {
  const ordered = inOrder(draft.points);
  const turn = (): void => {
    turnCorners(ink, scan);
    announce('Turned by a quarter.');
  };
  const back = (): void => {
    announce(takeCornerBack(ink, scan) ? 'Taken back.' : 'The corners are left as they were.');
  };
  const leave = (): void => leaveCorners(ink, scan);
  const use = async (): Promise<void> => {
    // Whoever moves one on meanwhile still has them in hand.
    if (ordered && (await onUse(ordered)) && cornerDraft(ink, scan)?.points === draft.points) leave();
  };
  // By keys alone the first corner is at hand at once: Shift+T, then arrows.
  useEffect(() => {
    const first = document.querySelector('.viewer[data-active="true"] .target-point');
    if (first instanceof SVGElement) first.focus({ preventScroll: true });
  }, []);
  useKeys('Target’s corners', [
    { keys: 'Enter', does: 'use these corners', run: () => void use() },
    { keys: 't', does: 'turn the corners by a quarter', run: turn },
    { keys: 'Ctrl+Z', does: 'take the last move of a corner back', run: back },
    {
      keys: 'Escape',
      does: 'give up a drag, or leave the corners as they were',
      run: () => {
        if (!drag.escape()) leave();
      },
    },
  ]);
  return (
    <>
      <Notice kind="word">
        Put the four points on {where}. In the middle of each box stands the colour that belongs there; where they do
        not agree, turn.
      </Notice>
      {!ordered && (
        <Notice>
          The four points span nothing: one lies between the others, or on a line with two. Drag each onto its own
          corner of the target.
        </Notice>
      )}
      {problem !== null && <Notice>{problem}</Notice>}
      <div className="buttons">
        <Button kind="strong" isDisabled={!ordered} onPress={() => void use()} aria-keyshortcuts="Enter">
          Use these corners
        </Button>
        <Button onPress={turn} aria-keyshortcuts="t">
          Turn by a quarter <kbd>T</kbd>
        </Button>
        <Button onPress={back} isDisabled={draft.past.length === 0} aria-keyshortcuts="Control+Z">
          Take back
        </Button>
        <Button kind="plain" onPress={leave}>
          Leave as they were
        </Button>
      </div>
      <p className="quiet">Arrows move a chosen point by 0.1 mm, with Shift by 1 mm, with Alt by 10 mm.</p>
    </>
  );
}
