import { sentenceOfWay, otherWay } from './howTold.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import { Button } from '../look/Button.tsx';
import { Words } from './Words.tsx';

export interface HowToldProps {
  /** As it stands on the page. */
  readonly shown: Quantity;
  /** As it was measured: by the film fit where that reaches, with what the map says. */
  readonly measured: Quantity;
  readonly film: FilmAnswer;
  readonly onFilm: () => void;
}

/** How a colour was got, what the other way says, and what would make it surer. */
export function HowTold({ shown, measured, film, onFilm }: HowToldProps) {
  const told = sentenceOfWay(shown, film);
  if (!told) return null;
  const other = otherWay(shown, measured);
  return (
    <section className="reading-told" aria-label="How the colour was got">
      <p>
        <Words>{told.sentence}</Words>
      </p>
      {other && (
        <details>
          <summary>{other.title}</summary>
          <p>
            <Words>{other.text}</Words>
          </p>
        </details>
      )}
      {told.advice.map((line) => (
        <p key={line}>
          <Words>{line}</Words>
        </p>
      ))}
      <Button kind="plain" onPress={onFilm}>
        Show the ink as a film
      </Button>
    </section>
  );
}
