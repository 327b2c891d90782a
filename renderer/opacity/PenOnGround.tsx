/** One pen's ink on one ground, with its ±, and how far to trust it. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { OpacityPen, Prediction } from '../../electron/backend/opacityAnswer.ts';
import { foretoldQuery } from '../api/client.ts';
import { usePrediction } from '../api/store.ts';
import { colourName } from '../film/doseWords.ts';
import { Button } from '../look/Button.tsx';
import { Figure } from '../look/Figure.tsx';
import { screenGamut, withinGamut } from '../look/gamut.ts';
import { Words } from '../reading/Words.tsx';
import { type Ground, groundName, predictionFor, sampleOn } from './ground.ts';
import { careWords, errorWords, hidingThere, leftOutWords, type Opacity, opacityOf } from './opacityWords.ts';
import { InkOnPaper } from './SwatchPair.tsx';
import '../film/film.css';

export interface PenOnGroundProps {
  readonly ink: number;
  readonly pen: OpacityPen;
  readonly ground: Ground;
  readonly groundLab: LabValue | null;
  /** Whether its writing is shown above. */
  readonly shown: boolean;
  readonly onShow: () => void;
}

export function PenOnGround({ ink, pen, ground, groundLab, shown, onShow }: PenOnGroundProps) {
  const showWords = shown ? 'shown above' : 'show its writing';
  return (
    <li className="pen-on-ground" aria-label={pen.words} {...(shown && { 'data-shown': true })}>
      <div className="pen-head">
        <h4>{pen.words}</h4>
        <Button kind="plain" chosen={shown} onPress={onShow} aria-label={`${showWords}: ${pen.words}`}>
          {showWords}
        </Button>
      </div>
      <PenColour ink={ink} pen={pen} ground={ground} groundLab={groundLab} />
      <dl className="pen-opacity">
        <HidingThere ink={ink} pen={pen} ground={ground} />
        {opacityOf(pen).map((told) => (
          <OpacityLine key={told.key} told={told} />
        ))}
      </dl>
    </li>
  );
}

function OpacityLine({ told: { title, word, figure } }: { readonly told: Opacity }) {
  return (
    <div>
      <dt>{title}</dt>
      <dd>
        {word !== '' && <strong>{word} </strong>}
        <Words>{figure}</Words>
      </dd>
    </div>
  );
}

/** Of a ground that was not written on; of the others it was measured, pair by pair. */
function HidingThere({ ink, pen, ground }: Pick<PenOnGroundProps, 'ink' | 'pen' | 'ground'>) {
  if ('picked' in ground) {
    return pen.layer.by === 'none' ? null : <HidingOfPicked ink={ink} pen={pen} picked={ground.picked} />;
  }
  const told = hidingThere(pen, groundName(ground), predictionFor(pen, ground.paper));
  return told && <OpacityLine told={told} />;
}

function HidingOfPicked({ ink, pen, picked }: PickedProps) {
  const foretold = usePrediction(ink, foretoldQuery({ pen: pen.key, on: picked }));
  const told = hidingThere(pen, groundName({ picked }), foretold.state === 'ready' ? foretold.value : null);
  return told && <OpacityLine told={told} />;
}

type ColourProps = Pick<PenOnGroundProps, 'ink' | 'pen' | 'ground' | 'groundLab'>;

function PenColour({ ink, pen, ground, groundLab }: ColourProps) {
  if ('picked' in ground) {
    return pen.layer.by === 'none' ? (
      <NotTold words={pen.layer.words} groundLab={groundLab} />
    ) : (
      <PickedColour ink={ink} pen={pen} picked={ground.picked} />
    );
  }
  const sample = sampleOn(pen, ground.paper);
  if (sample) {
    const leftOut = leftOutWords(pen.check, ground.paper);
    return (
      <ColourThere
        lab={sample.lab}
        u={sample.u}
        groundLab={groundLab ?? sample.paperLab}
        name={sample.u ? colourName(sample.lab, sample.u) : ''}
        how="Measured here."
        trust={leftOut ?? ''}
      />
    );
  }
  const foretold = predictionFor(pen, ground.paper);
  if (!foretold) return <NotTold words={pen.layer.words} groundLab={groundLab} />;
  return <ForetoldColour foretold={foretold} />;
}

interface PickedProps {
  readonly ink: number;
  readonly pen: OpacityPen;
  readonly picked: LabValue;
}

function PickedColour({ ink, pen, picked }: PickedProps) {
  const foretold = usePrediction(ink, foretoldQuery({ pen: pen.key, on: picked }));
  if (foretold.state === 'failed') return <NotTold words={foretold.problem.message} groundLab={picked} />;
  if (foretold.state === 'loading') return <NotTold words="Foretelling…" groundLab={picked} />;
  return <ForetoldColour foretold={foretold.value} />;
}

function ForetoldColour({ foretold }: { readonly foretold: Prediction }) {
  const { lab, u, ground, name, leftOutError } = foretold;
  const care = careWords(foretold);
  return (
    <ColourThere
      lab={lab}
      u={u}
      groundLab={ground}
      name={name}
      how={`Foretold${foretold.by === 'film-fit' ? ' from the film fit' : ''}.${care === '' ? '' : ` ${care}`}`}
      trust={errorWords(leftOutError)}
    />
  );
}

interface ThereProps {
  readonly lab: LabValue;
  readonly u: LabValue | null;
  readonly groundLab: LabValue;
  readonly name: string;
  readonly how: string;
  readonly trust: string;
}

const PARTS = ['L*', 'a*', 'b*'] as const;

function ColourThere({ lab, u, groundLab, name, how, trust }: ThereProps) {
  return (
    <div className="pen-colour">
      <InkOnPaper ink={lab} paper={groundLab} />
      <div>
        <dl className="film-lab">
          {PARTS.map((part, i) => (
            <div key={part}>
              <dt>{part}</dt>
              <dd>
                <Figure value={lab[i]} u={u === null ? null : u[i]} unit="1" decimals={1} />
              </dd>
            </div>
          ))}
        </dl>
        <p className="pen-name">{name}</p>
      </div>
      <p className="pen-how">
        {how}
        {!withinGamut(lab, screenGamut()) && ' Cannot be shown exactly.'}
        {trust !== '' && (
          <>
            {' '}
            <Words>{trust}</Words>
          </>
        )}
      </p>
    </div>
  );
}

function NotTold({ words, groundLab }: { readonly words: string; readonly groundLab: LabValue | null }) {
  return (
    <div className="pen-colour">
      <InkOnPaper ink={null} paper={groundLab} />
      <p className="pen-how">{words}</p>
    </div>
  );
}
