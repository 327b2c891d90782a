import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import { listed } from '../findings/standing.ts';

/** Which regions the target's map tells, and what would change that. */
export function MissingWords({ missing }: { readonly missing: FilmAnswer['missing'] }) {
  return (
    <section className="film-missing" aria-label="Told by the target’s map">
      <h3>Told by the target’s map</h3>
      <ul>
        {missing.map(({ regions, words }) => (
          <li key={words}>
            {regions.length > 0 && <span className="film-missing-regions">{listed(regions, 4)}: </span>}
            {words}
          </li>
        ))}
      </ul>
    </section>
  );
}
