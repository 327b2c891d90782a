import { type CSSProperties, useMemo } from 'react';
import type { FilmCurve, FilmOfInk } from '../../electron/backend/filmAnswer.ts';
import { announce } from '../look/announce.ts';
import { cssLab } from '../look/Swatch.tsx';
import { useKeys } from '../look/useKeys.ts';
import type { PlottedWork } from '../plots/regionPaper.ts';
import { doseAt, type DoseScale, shareOf } from './doseAlong.ts';
import { nextStop, nibMarks, nibStops, placedMarks, stopsAt, swabDoses } from './doseMarks.ts';
import { DoseSwatch } from './DoseSwatch.tsx';
import { doseWords, spokenDose, stopsWords } from './doseWords.ts';
import { rampGradient, seenClip } from './ramp.ts';

export interface DoseBenchProps {
  readonly work: PlottedWork;
  readonly fit: FilmOfInk;
  /** In the order of their papers on the bench. */
  readonly curves: readonly FilmCurve[];
  readonly scale: DoseScale;
  readonly dose: number;
  readonly onDose: (dose: number) => void;
}

/** Fine enough that a step is never seen, coarse enough for arrows to get along. */
const STEPS = 200;
/** Letters of a mark's size across a ramp in the narrowest pane; wider ones only have more room. */
const RAMP_EM = 30;

/** The ink from palest to densest on each of its papers, and its colour at the dose that a hand sets. */
export function DoseBench({ work, fit, curves, scale, dose, onDose }: DoseBenchProps) {
  const stops = useMemo(() => nibStops(work, fit.points, curves), [work, fit, curves]);
  const here = stopsAt(stops, dose);
  const step = (by: 1 | -1): void => {
    const next = nextStop(stops, dose, by);
    if (next) onDose(next.dose);
    else announce(by === 1 ? 'No nib laid it denser.' : 'No nib laid it paler.');
  };
  useKeys('The ink as a film', [
    { keys: 'ArrowLeft / ArrowRight', does: 'on the slider: paler, denser' },
    { keys: ', / .', does: 'set the dose to the next nib, paler or denser', run: (e) => step(e.key === '.' ? 1 : -1) },
  ]);
  const share = shareOf(scale, dose);
  const whose = stopsWords(here);
  return (
    <section className="film-bench" aria-label="Colour by dose">
      <div className="film-ramps" style={cssVariables({ '--share': String(share) })}>
        {curves.map((curve) => (
          <Ramp key={curve.paper} work={work} fit={fit} curve={curve} scale={scale} />
        ))}
        <input
          type="range"
          className="film-slider"
          aria-label="Dose of ink"
          min={0}
          max={STEPS}
          step={1}
          value={Math.round(share * STEPS)}
          aria-valuetext={spokenDose(dose, curves, here)}
          onChange={({ currentTarget: { value } }) => onDose(doseAt(scale, Number(value) / STEPS))}
        />
        <p className="film-ends" aria-hidden="true">
          <span>palest</span>
          <span>densest</span>
        </p>
        <span className="film-cursor" aria-hidden="true" />
      </div>
      <p className="film-dose">
        <strong>{sentenceCase(doseWords(dose))}</strong>
        {whose !== '' && <span>, {whose}</span>}
      </p>
      <ul className="film-swatches">
        {curves.map((curve) => (
          <DoseSwatch key={curve.paper} curve={curve} dose={dose} />
        ))}
      </ul>
    </section>
  );
}

interface RampProps {
  readonly work: PlottedWork;
  readonly fit: FilmOfInk;
  readonly curve: FilmCurve;
  readonly scale: DoseScale;
}

function Ramp({ work, fit, curve, scale }: RampProps) {
  const { paper, paperLab } = curve;
  const gradient = useMemo(() => rampGradient(curve, scale), [curve, scale]);
  const marks = useMemo(
    () => placedMarks(nibMarks(work, fit.points, paper), scale, RAMP_EM),
    [work, fit, paper, scale],
  );
  const ticks = useMemo(() => swabDoses(work, fit.points, paper), [work, fit, paper]);
  const lines = marks.some(({ line }) => line === 1) ? 2 : 1;
  return (
    <div className="film-ramp" aria-hidden="true">
      <span className="film-ramp-name">{paper}</span>
      <span className="film-ramp-paper" style={{ backgroundColor: cssLab(paperLab) }}>
        <span className="film-ramp-foretold" style={{ backgroundImage: gradient }} />
        <span className="film-ramp-seen" style={{ backgroundImage: gradient, clipPath: seenClip(curve, scale) }} />
      </span>
      <span className="film-ramp-marks" data-lines={lines}>
        {ticks.map((dose, i) => (
          // oxlint-disable-next-line react/no-array-index-key -- steps of a swab have no name but their place
          <span key={i} className="film-tick" style={cssVariables({ '--at': String(shareOf(scale, dose)) })} />
        ))}
        {marks.map(({ region, name, share, line }) => (
          <span key={region} className="film-nib" data-line={line} style={cssVariables({ '--at': String(share) })}>
            {name}
          </span>
        ))}
      </span>
    </div>
  );
}

function sentenceCase(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** Custom properties are no part of React's own style type. */
function cssVariables(values: Readonly<Record<`--${string}`, string>>): CSSProperties {
  return values;
}
