/** The shelf's papers, each with this pen's ink upon it, and a colour of one's own. */
import { useState } from 'react';
import { Radio, RadioGroup } from 'react-aria-components';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Work } from '../../electron/backend/api.ts';
import type { OpacityAnswer, OpacityPen } from '../../electron/backend/opacityAnswer.ts';
import { foretoldQuery } from '../api/client.ts';
import { usePrediction } from '../api/store.ts';
import { type Ground, groundLab, predictionFor, sampleOn } from './ground.ts';
import { OwnColour } from './OwnColour.tsx';
import { InkOnPaper } from './SwatchPair.tsx';

export interface PaperChoiceProps {
  readonly work: Work;
  readonly answer: OpacityAnswer;
  readonly pen: OpacityPen;
  readonly ground: Ground;
  readonly onGround: (ground: Ground) => void;
  readonly picking: boolean;
  readonly onPicking: (picking: boolean) => void;
}

/** Kept apart from papers' names. */
const PICKED = 'picked:';
/** Before anyone picked one: a warm pale paper (common practice, no source). */
const FIRST: LabValue = [92, 0, 8];

export function PaperChoice({ work, answer, pen, ground, onGround, picking, onPicking }: PaperChoiceProps) {
  const [held, setHeld] = useState<LabValue>(FIRST);
  const picked = 'picked' in ground ? ground.picked : held;
  const pick = (lab: LabValue): void => {
    setHeld(lab);
    onGround({ picked: lab });
  };
  return (
    <section className="papers-choice" aria-label="Papers">
      <RadioGroup
        aria-label="Show the ink on"
        value={'paper' in ground ? `paper:${ground.paper}` : PICKED}
        onChange={(key) => {
          if (key === PICKED) pick(groundLab(ground, answer) ?? picked);
          else onGround({ paper: key.slice('paper:'.length) });
        }}
      >
        {answer.papers.map(({ name, lab }) => (
          <Radio key={name} value={`paper:${name}`} className="paper-tile">
            <InkOnPaper ink={sampleOn(pen, name)?.lab ?? predictionFor(pen, name)?.lab ?? null} paper={lab} />
            <span>
              {name}
              <small>{standing(pen, name)}</small>
            </span>
          </Radio>
        ))}
        <Radio value={PICKED} className="paper-tile">
          {'picked' in ground && pen.layer.by !== 'none' ? (
            <ForetoldTile ink={work.ink.id} pen={pen} picked={picked} />
          ) : (
            <InkOnPaper ink={null} paper={picked} />
          )}
          <span>
            a colour of your own
            <small>foretold</small>
          </span>
        </Radio>
      </RadioGroup>
      {'picked' in ground && <OwnColour lab={picked} onLab={pick} {...{ picking, onPicking }} />}
    </section>
  );
}

function ForetoldTile({
  ink,
  pen,
  picked,
}: {
  readonly ink: number;
  readonly pen: OpacityPen;
  readonly picked: LabValue;
}) {
  const foretold = usePrediction(ink, foretoldQuery({ pen: pen.key, on: picked }));
  return <InkOnPaper ink={foretold.state === 'ready' ? foretold.value.lab : null} paper={picked} />;
}

function standing(pen: OpacityPen, paper: string): string {
  if (sampleOn(pen, paper)) return 'written on, measured';
  return predictionFor(pen, paper) ? 'foretold' : 'not told for this pen';
}
