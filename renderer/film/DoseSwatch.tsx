import type { FilmCurve } from '../../electron/backend/filmAnswer.ts';
import { Figure } from '../look/Figure.tsx';
import { screenGamut, withinGamut } from '../look/gamut.ts';
import { cssLab } from '../look/Swatch.tsx';
import { colourAt } from './doseAlong.ts';
import { colourName } from './doseWords.ts';

export interface DoseSwatchProps {
  readonly curve: FilmCurve;
  readonly dose: number;
}

const PARTS = ['L*', 'a*', 'b*'] as const;

/** The ink at a dose, lying on its paper's colour, with its figures. */
export function DoseSwatch({ curve, dose }: DoseSwatchProps) {
  const colour = colourAt(curve, dose);
  const exact = colour === null || withinGamut(colour.lab, screenGamut());
  return (
    <li className="film-swatch">
      <span className="film-swatch-paper" style={{ backgroundColor: cssLab(curve.paperLab) }} aria-hidden="true">
        {colour && (
          <span
            className="film-swatch-ink"
            data-foretold={!colour.seen}
            style={{ backgroundColor: cssLab(colour.lab) }}
          />
        )}
      </span>
      <h3>{curve.paper}</h3>
      {colour === null ? (
        <p className="film-swatch-note">Not told: the fit does not reach this dose here.</p>
      ) : (
        <>
          <p className="film-swatch-note">
            {colour.seen ? 'Within the range seen' : 'Foretold, beyond the range seen'}
            {!exact && '; cannot be shown exactly'}
          </p>
          <dl className="film-lab">
            {PARTS.map((part, i) => (
              <div key={part}>
                <dt>{part}</dt>
                <dd>
                  <Figure value={colour.lab[i]} u={colour.u[i]} unit="1" decimals={1} />
                </dd>
              </div>
            ))}
          </dl>
          <p className="film-swatch-name">{colourName(colour.lab, colour.u)}</p>
        </>
      )}
    </li>
  );
}
