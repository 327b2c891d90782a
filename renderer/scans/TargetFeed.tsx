import { useEffect } from 'react';
import type { TargetView } from '../../electron/backend/api.ts';
import { useTarget } from '../api/store.ts';
import type { Loaded } from '../api/store.ts';

export interface TargetFeedProps {
  readonly ink: number;
  readonly scan: string;
  readonly onTarget: (target: Loaded<TargetView> | null) => void;
}

/** Asks for the target that lies in a scan, for as long as it is mounted; draws nothing. Scans without one mount none. */
export function TargetFeed({ ink, scan, onTarget }: TargetFeedProps) {
  const target = useTarget(ink, scan);
  useEffect(() => onTarget(target), [target, onTarget]);
  useEffect(() => () => onTarget(null), [onTarget]);
  return null;
}
