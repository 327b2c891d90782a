import type { RemovedInk } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import { Folded } from '../look/Folded.tsx';
import { dayWords } from './cardWords.ts';

interface Props {
  /** The last taken off first. */
  readonly inks: readonly RemovedInk[];
  readonly onPutBack: (ink: RemovedInk) => void;
}

/** Inks that were taken off the shelf at any time: all of theirs is kept, and each can be put back. */
export function OffTheShelf({ inks, onPutBack }: Props) {
  if (inks.length === 0) return null;
  return (
    <Folded
      className="folded off-the-shelf"
      summary={inks.length === 1 ? '1 ink off the shelf' : `${inks.length} inks off the shelf`}
    >
      <ul>
        {inks.map((ink) => (
          <li key={ink.id}>
            <span>
              {ink.name}
              {ink.maker !== null && <span className="quiet"> by {ink.maker}</span>}
              <span className="quiet">, taken off on {dayWords(ink.removedAt)}</span>
            </span>
            <Button onPress={() => onPutBack(ink)} aria-label={`Put “${ink.name}” back`}>
              Put it back
            </Button>
          </li>
        ))}
      </ul>
    </Folded>
  );
}
