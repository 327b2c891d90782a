import { useMemo } from 'react';
import type { Quantity } from '../../analysis/quantity.ts';
import type { Work } from '../../electron/backend/api.ts';
import type { FilmAnswer, FilmOfInk } from '../../electron/backend/filmAnswer.ts';
import { Button } from '../look/Button.tsx';
import { AbsorptionPlot } from './AbsorptionPlot.tsx';
import { fitOf } from './ofFilm.ts';
import { papersApart } from './papersApart.ts';
import { DosePlot } from './DosePlot.tsx';
import './film.css';

export interface FilmPlotProps {
  /** One of the ink as a film. */
  readonly finding: Quantity;
  readonly work: Work;
  readonly film: FilmAnswer;
  readonly onOpen: () => void;
}

/** The plot that explains a finding of the film; nothing when its fit is no longer there. */
export function FilmPlot({ finding, work, film, onOpen }: FilmPlotProps) {
  const found = fitOf(film, finding.subject.regions);
  const fit = useMemo(() => found && papersApart(work, found), [work, found]);
  if (!fit) return null;
  return (
    <div className="film-plot">
      {finding.quantity === 'absorption' ? (
        <AbsorptionPlot ink={work.ink.name} fit={fit} finding={finding} />
      ) : (
        <DosesOf finding={finding} work={work} fit={fit} />
      )}
      <Button kind="plain" onPress={onOpen}>
        Show the ink as a film
      </Button>
    </div>
  );
}

/** The lightness of its own paper's curve; of the fit as a whole the hues, where a foreign sample shows first. */
function DosesOf({ finding, work, fit }: Pick<FilmPlotProps, 'finding' | 'work'> & { readonly fit: FilmOfInk }) {
  const alone = finding.quantity === 'doseCurve';
  const { regions } = finding.subject;
  const curves = useMemo(() => {
    const papers = fit.points.filter(({ region }) => regions.includes(region)).map(({ paper }) => paper);
    return alone ? fit.curves.filter(({ paper }) => papers.includes(paper)) : fit.curves;
  }, [alone, regions, fit]);
  return <DosePlot ink={work.ink.name} work={work} plane={alone ? 'LC' : 'ab'} curves={curves} points={fit.points} />;
}
