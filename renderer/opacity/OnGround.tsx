/** The ink on one ground: the person's own writing laid there, and each pen's colour, measured or foretold. */
import type { Work } from '../../electron/backend/api.ts';
import type { OpacityAnswer, OpacityPen } from '../../electron/backend/opacityAnswer.ts';
import { MissingWords } from '../film/MissingWords.tsx';
import { type Ground, groundLab, groundName, labWords } from './ground.ts';
import { PenOnGround } from './PenOnGround.tsx';
import { WritingThere } from './WritingThere.tsx';

export interface OnGroundProps {
  readonly work: Work;
  readonly answer: OpacityAnswer;
  /** Whose writing is shown. */
  readonly pen: OpacityPen;
  readonly ground: Ground;
  readonly mmPerPx: number;
  /** Another one after every measurement: the same ground may then look another way. */
  readonly version: string;
  readonly onZoom: (by: 1 | -1) => void;
  readonly onPen: (key: string) => void;
}

export function OnGround({ work, answer, pen, ground, mmPerPx, version, onZoom, onPen }: OnGroundProps) {
  const lab = groundLab(ground, answer);
  return (
    <section className="on-ground" aria-label={`On ${groundName(ground)}`}>
      <h3>
        On {groundName(ground)}
        {/* A picked colour is exact; a measured paper's stands with its ± among the findings. */}
        {'picked' in ground && <small>{labWords(ground.picked)}</small>}
      </h3>
      <WritingThere {...{ work, pen, ground, mmPerPx, version, onZoom }} />
      <ul className="pens">
        {answer.pens.map((one) => (
          <PenOnGround
            key={one.key}
            ink={work.ink.id}
            pen={one}
            ground={ground}
            groundLab={lab}
            shown={one.key === pen.key}
            onShow={() => onPen(one.key)}
          />
        ))}
      </ul>
      {answer.missing.length > 0 && <MissingWords missing={answer.missing} />}
    </section>
  );
}
