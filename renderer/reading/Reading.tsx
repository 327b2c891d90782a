import { Fragment, useMemo } from 'react';
import { sentence, subjectWords } from '../../analysis/report/sentences.ts';
import { QUANTITY_TITLES } from '../../analysis/report/titles.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { FindingsReport, RegionDetail, TracedFinding, Work } from '../../electron/backend/api.ts';
import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import { withoutWay } from '../film/byWay.ts';
import { FilmPlot } from '../film/FilmPlot.tsx';
import { isOfFilm } from '../film/ofFilm.ts';
import { oneWay } from '../film/oneWay.ts';
import { Notice } from '../look/Notice.tsx';
import { Colours } from './Colours.tsx';
import { HowTold } from './HowTold.tsx';
import { otherWay, sentenceOfWay } from './howTold.ts';
import { Flags } from './Flags.tsx';
import { HowMeasured } from './HowMeasured.tsx';
import { shownColours } from './shownColours.ts';
import { SmallPlot } from './SmallPlot.tsx';
import { Summary } from './Summary.tsx';
import { Value } from './Value.tsx';
import { Words } from './Words.tsx';
import { namesOfWork } from './workNames.ts';
import './reading.css';

export interface ReadingProps {
  readonly work: Work;
  readonly findings: FindingsReport;
  /** Null: the ink as a whole. */
  readonly chosen: TracedFinding | null;
  /** Those that are there; more may come. */
  readonly details: Readonly<Record<string, RegionDetail>>;
  readonly onChoose: (key: string) => void;
  /** The ink as a film, where it is told as one. */
  readonly film?: FilmOfReading | undefined;
}

export interface FilmOfReading {
  readonly answer: FilmAnswer;
  /** What is chosen as it was measured, also while the page tells colours by the map. */
  readonly measured: Quantity | null;
  readonly onOpen: () => void;
}

/** 'What does this say?', answered for whatever is chosen: in a sentence, a figure, colours, a plot, words of care, and how. */
export function Reading({ work, findings, chosen, details, onChoose, film }: ReadingProps) {
  const names = useMemo(() => namesOfWork(work, findings), [work, findings]);
  const answer = film?.answer ?? null;
  const beside = useMemo(() => {
    const all = { report: findings, details };
    return chosen ? oneWay(chosen.finding, all, answer) : all;
  }, [chosen, findings, details, answer]);
  const colours = useMemo(
    () => (chosen ? shownColours(chosen.finding, namesOfWork(work, beside.report), beside.details) : []),
    [chosen, work, beside],
  );
  if (!chosen) {
    return (
      <section className="reading" aria-label="Reading">
        <Summary work={work} findings={findings} names={names} onChoose={onChoose} />
      </section>
    );
  }
  const { finding } = chosen;
  const way = film?.measured ? sentenceOfWay(finding, film.answer) : null;
  return (
    <section className="reading" aria-label="Reading">
      <h2 className="reading-title">
        <Words>{QUANTITY_TITLES[finding.quantity]}</Words> <small>{subjectWords(finding, names)}</small>
      </h2>
      <p className="reading-sentence" aria-live="polite">
        <Words>{sentence(finding, names)}</Words>
      </p>
      {!chosen.current && (
        <Notice kind="word">
          Something behind this number has changed since it was measured. Measure again to bring it up to date.
        </Notice>
      )}
      {/* What is unfolded stays with its finding; the sentence's place stays, so that screen readers hear it change. */}
      <Fragment key={chosen.key}>
        <Value finding={finding} />
        {film?.measured && way && <HowTold told={way} other={otherWay(finding, film.measured)} onFilm={film.onOpen} />}
        <Colours work={work} colours={colours} details={details} />
        {film && isOfFilm(finding.quantity) ? (
          <FilmPlot finding={finding} work={work} film={film.answer} onOpen={film.onOpen} />
        ) : (
          <SmallPlot finding={finding} work={work} details={details} beside={beside} />
        )}
        <Flags flags={way && way.advice.length > 0 ? withoutWay(finding.flags) : finding.flags} />
        <HowMeasured chosen={chosen} work={work} findings={findings} />
      </Fragment>
    </section>
  );
}
