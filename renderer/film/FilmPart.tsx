/** The ink as a film: how its colour goes with dose, what it absorbs, and how well one curve tells all samples. */
import { useMemo, useState } from 'react';
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import type { FilmAnswer, FilmOfInk } from '../../electron/backend/filmAnswer.ts';
import { goTo } from '../address/useAddress.ts';
import { Button } from '../look/Button.tsx';
import { InTurn } from '../look/InTurn.tsx';
import { Select } from '../look/Select.tsx';
import { AbsorptionPlot } from './AbsorptionPlot.tsx';
import { doseScale } from './doseAlong.ts';
import { DoseBench } from './DoseBench.tsx';
import { DosePlot } from './DosePlot.tsx';
import { fitName, isUsed, leadSentence, ofFit } from './filmWords.ts';
import { FitQuality } from './FitQuality.tsx';
import { MissingWords } from './MissingWords.tsx';
import { NoFilm } from './NoFilm.tsx';
import { papersApart } from './papersApart.ts';
import './film.css';

export interface FilmPartProps {
  readonly work: Work;
  readonly findings: FindingsReport;
  readonly film: FilmAnswer;
  readonly onChooseRegion: (region: string) => void;
}

export function FilmPart({ work, findings, film, onChooseRegion }: FilmPartProps) {
  const [chosen, setChosen] = useState(0);
  const fit = film.fits[chosen] ?? film.fits[0];
  return (
    <div className="film">
      <h2>The ink as a film</h2>
      {fit === undefined ? (
        <NoFilm
          missing={film.missing}
          measuring={work.job?.state === 'running'}
          onScans={() => goTo({ page: 'scans', ink: work.ink.id, query: {} })}
        />
      ) : (
        <>
          {film.fits.length > 1 && (
            <Select
              label="Fitted together"
              choices={film.fits.map((one, i) => ({ id: String(i), name: fitName(one) }))}
              chosen={String(film.fits.indexOf(fit))}
              onChoose={(id) => setChosen(Number(id))}
            />
          )}
          <OneFit key={film.fits.indexOf(fit)} {...{ work, findings, fit, onChooseRegion }} />
          {film.missing.length > 0 && <MissingWords missing={film.missing} />}
        </>
      )}
    </div>
  );
}

interface OneFitProps extends Pick<FilmPartProps, 'work' | 'findings' | 'onChooseRegion'> {
  readonly fit: FilmOfInk;
}

function OneFit({ work, findings, fit: told, onChooseRegion }: OneFitProps) {
  const fit = useMemo(() => papersApart(work, told), [work, told]);
  const { curves } = fit;
  const scale = useMemo(() => doseScale(curves), [curves]);
  const finding = useMemo(() => ofFit(findings.findings, 'absorption', fit), [findings, fit]);
  const used = useMemo(() => isUsed(findings.findings, fit), [findings, fit]);
  const [dose, setDose] = useState(1);
  const [withMap, setWithMap] = useState(false);
  const shared = { ink: work.ink.name, work, curves, points: fit.points, withMap, dose };
  return (
    <>
      <p className="film-lead">{leadSentence(fit, used, finding)}</p>
      {scale && <DoseBench {...{ work, fit, curves, scale, dose }} onDose={setDose} />}
      <Button chosen={withMap} onPress={() => setWithMap(!withMap)}>
        {withMap ? 'Leave out what the target’s map says' : 'Show in the plots what the target’s map says'}
      </Button>
      <div className="film-plots">
        <InTurn turn={1}>
          <AbsorptionPlot ink={work.ink.name} fit={fit} finding={finding} />
        </InTurn>
        <InTurn turn={2}>
          <DosePlot plane="ab" {...shared} />
        </InTurn>
        <InTurn turn={3}>
          <DosePlot plane="LC" {...shared} />
        </InTurn>
      </div>
      <InTurn turn={4}>
        <FitQuality fit={fit} onChooseRegion={onChooseRegion} />
      </InTurn>
    </>
  );
}
