import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import { Notice } from '../look/Notice.tsx';
import { MissingWords } from './MissingWords.tsx';

export interface NoFilmProps {
  readonly missing: FilmAnswer['missing'];
  /** A measurement runs, at whose end the film is fitted. */
  readonly measuring: boolean;
  readonly onScans: () => void;
}

/** No fit was possible yet: what to lay on the page next. */
export function NoFilm({ missing, measuring, onScans }: NoFilmProps) {
  if (measuring) {
    return <Notice kind="word">Measuring… The ink is fitted as a film once all its samples are measured.</Notice>;
  }
  return (
    <div className="film-none">
      <EmptyState
        sentence="Paint one swab that runs from pale to dense, beside bare paper, and draw a swab region around it: the program cuts it into strips and tells the ink’s own absorption from them."
        drawing={<GradedSwab />}
      >
        <Button kind="strong" onPress={onScans}>
          Go to the scans
        </Button>
      </EmptyState>
      {missing.length > 0 && <MissingWords missing={missing} />}
    </div>
  );
}

/** A page with a graded swab, the strips that it is cut into, and bare paper beside it. */
function GradedSwab() {
  const strips = Array.from({ length: 12 }, (_, i) => i);
  return (
    <svg viewBox="0 0 300 120" aria-hidden="true" className="film-drawing">
      <rect x="6" y="6" width="288" height="108" className="drawn-page" />
      {strips.map((i) => (
        <rect
          key={i}
          x={24 + 13 * i}
          y="38"
          width="13.300"
          height="44"
          className="drawn-ink"
          fillOpacity={0.1 + 0.068 * i}
        />
      ))}
      {strips.slice(1).map((i) => (
        <path key={i} d={`M${24 + 13 * i} 38v44`} className="drawn-cut" />
      ))}
      <rect x="18" y="32" width="168" height="56" className="drawn-box" />
      <rect x="204" y="32" width="72" height="56" className="drawn-box" strokeDasharray="4 3" />
      <text x="18" y="26">
        swab, pale to dense
      </text>
      <text x="204" y="26">
        bare paper
      </text>
    </svg>
  );
}
