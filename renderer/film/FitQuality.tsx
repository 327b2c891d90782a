import { fixed } from '../../analysis/report/valueText.ts';
import { capital } from '../../analysis/report/words.ts';
import type { FilmOfInk } from '../../electron/backend/filmAnswer.ts';
import { Button } from '../look/Button.tsx';
import { PlotTable } from '../plots/PlotTable.tsx';
import { pointTable } from './dosePlotData.ts';

export interface FitQualityProps {
  readonly fit: FilmOfInk;
  readonly onChooseRegion: (region: string) => void;
}

/** Whether one film tells all samples, which do not lie on it, and why. */
export function FitQuality({ fit: { quality, points, curves, taughtBy, advice }, onChooseRegion }: FitQualityProps) {
  const { ratio, verdict, misfits } = quality;
  return (
    <section className="film-quality" aria-label="How well one film fits">
      <h3>How well one film fits</h3>
      <p className="film-verdict">
        <strong>{capital(verdict)}</strong>
        <span>
          {fixed(ratio, ratio < 10 ? 2 : 0)} times the misfit that noise alone would leave, over {points.length}{' '}
          measured samples.
        </span>
      </p>
      {misfits.length === 0 ? (
        <p>
          Every sample lies on the ink’s own curve. That alone proves nothing: an ink like no known one can fit as well.
        </p>
      ) : (
        <>
          <p>Not on the ink’s own curve, the farthest first:</p>
          <ul className="film-misfits">
            {misfits.map(({ region, words }) => (
              <li key={region}>
                <Button kind="plain" onPress={() => onChooseRegion(region)} aria-label={`Show “${region}” on its scan`}>
                  {region}
                </Button>
                <span>{words}</span>
              </li>
            ))}
          </ul>
        </>
      )}
      <p>
        {taughtBy === 'spectra'
          ? 'The scanner’s sensitivities were told from the target’s spectra.'
          : 'The scanner’s sensitivities were told from the target’s Lab alone, the weaker form; a reference with spectra would make every colour surer.'}
      </p>
      {advice !== null && <p>{advice}</p>}
      <PlotTable data={pointTable(points, curves)} title="Measured samples, by the film fit and by the target’s map" />
    </section>
  );
}
