/** What can be done with the bands of a strip, and how near it is looked at. */
import { Group } from 'react-aria-components';
import { Button } from '../look/Button.tsx';
import type { ShownRun } from './useRunView.ts';

export interface BandToolsProps {
  readonly bands: number;
  readonly chosen: readonly number[];
  readonly isHeld: boolean;
  readonly adding: boolean;
  /** What goes on, in words; '' for nothing. */
  readonly status: string;
  readonly shown: ShownRun;
  readonly onAdd: () => void;
  readonly onRemove: () => void;
  readonly onHold: () => void;
  readonly onJoin: () => void;
}

export function BandTools({
  bands,
  chosen,
  isHeld,
  adding,
  status,
  shown,
  onAdd,
  onRemove,
  onHold,
  onJoin,
}: BandToolsProps) {
  const [first, second] = chosen;
  const whose = first === undefined ? 'band' : `band ${first}`;
  return (
    <div className="strip-tools">
      <Group aria-label="Bands by hand">
        <Button chosen={adding} onPress={onAdd} aria-keyshortcuts="a">
          {adding ? 'Add no band' : 'Add a band'}
        </Button>
        <Button isDisabled={first === undefined} onPress={onRemove} aria-keyshortcuts="Delete">
          Remove {whose}
        </Button>
        <Button isDisabled={first === undefined} chosen={isHeld} onPress={onHold} aria-keyshortcuts="i">
          {isHeld ? `Let ${whose} go` : `Hold ${whose}`}
        </Button>
        <Button isDisabled={second === undefined || bands < 2} onPress={onJoin} aria-keyshortcuts="u">
          {second === undefined ? 'Join two bands' : `Join ${first} and ${second}`}
        </Button>
      </Group>
      <output className="strip-status">{status}</output>
      <Group aria-label="View along the strip">
        <Button kind="plain" onPress={() => shown.zoom(1 / 1.5)} aria-label="See more" aria-keyshortcuts="-">
          −
        </Button>
        <Button kind="plain" onPress={() => shown.zoom(1.5)} aria-label="Come nearer" aria-keyshortcuts="+">
          +
        </Button>
        <Button kind="plain" isDisabled={shown.isWhole} onPress={() => shown.whole()} aria-keyshortcuts="0">
          Whole strip
        </Button>
      </Group>
    </div>
  );
}
