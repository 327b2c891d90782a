import { startTransition, useEffect } from 'react';
import type { DocumentTarget, TargetGrid, TargetView } from '../../electron/backend/api.ts';
import { useTarget, useTargetGrid } from '../api/store.ts';
import type { Loaded } from '../api/store.ts';

export interface TargetFeedProps {
  readonly ink: number;
  readonly scan: string;
  /** As the ink's work names it. */
  readonly target: DocumentTarget;
  readonly onTarget: (target: Loaded<TargetView> | null) => void;
  readonly onGrid: (grid: TargetGrid | null) => void;
}

/** Asks for the target that lies in a scan, for as long as it is mounted; draws nothing. Scans without one mount none. */
export function TargetFeed({ ink, scan, target: { layout, reference }, onTarget, onGrid }: TargetFeedProps) {
  const target = useTarget(ink, scan);
  const grid = useTargetGrid(layout, reference);
  // The whole bench is drawn for them: in parts.
  useEffect(() => startTransition(() => onTarget(target)), [target, onTarget]);
  useEffect(() => startTransition(() => onGrid(grid.state === 'ready' ? grid.value : null)), [grid, onGrid]);
  useEffect(
    () => () => {
      onTarget(null);
      onGrid(null);
    },
    [onTarget, onGrid],
  );
  return null;
}
