import { Button } from '../look/Button.tsx';
import type { OtherWay, ToldWords } from './howTold.ts';
import { Words } from './Words.tsx';

export interface HowToldProps {
  readonly told: ToldWords;
  readonly other: OtherWay | null;
  readonly onFilm: () => void;
}

/** How a colour was got, what the other way says, and what would make it surer. */
export function HowTold({ told, other, onFilm }: HowToldProps) {
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
