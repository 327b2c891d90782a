import type { OpacityAnswer } from '../../electron/backend/opacityAnswer.ts';
import { goTo, lastAddress } from '../address/useAddress.ts';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import { Notice } from '../look/Notice.tsx';
import type { NextStep } from './whatToWrite.ts';

export interface NoOtherPaperProps {
  readonly ink: number;
  readonly answer: OpacityAnswer;
  readonly next: NextStep;
  readonly measuring: boolean;
}

/** Nothing can be foretold yet: what to write next, and why. */
export function NoOtherPaper({ ink, answer, next, measuring }: NoOtherPaperProps) {
  if (measuring) {
    return (
      <Notice kind="word">
        Measuring… What the ink does on other papers is told once all its samples are measured.
      </Notice>
    );
  }
  const why = [
    ...new Set([...answer.missing.map(({ words }) => words), ...answer.pens.map(({ layer }) => layer.words)]),
  ];
  return (
    <div className="papers-none">
      <EmptyState sentence={next.sentence} drawing={<TwoPapers />}>
        {next.at === 'findings' ? (
          <Button kind="strong" onPress={() => goTo(lastAddress('findings', ink))}>
            Go to the findings
          </Button>
        ) : (
          <Button kind="strong" onPress={() => goTo({ page: 'scans', ink, query: {} })}>
            Go to the scans
          </Button>
        )}
      </EmptyState>
      {why.length > 0 && (
        <ul className="papers-why" aria-label="Why nothing is foretold">
          {why.map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** The same line on two papers, or one swab from pale to dense. */
function TwoPapers() {
  return (
    <svg viewBox="0 0 330 132" aria-hidden="true" className="papers-drawing">
      {[8, 84].map((x, i) => (
        <g key={x}>
          <rect x={x} y={8 + 10 * i} width="96" height="106" className={i === 0 ? 'drawn-page' : 'drawn-second'} />
          <path d={`M${x + 12} ${58 + 10 * i}c6-16 10 9 17-2s9 9 16-1 8 7 15-2 9 8 16 0`} />
        </g>
      ))}
      <text x="196" y="70">
        or
      </text>
      <rect x="222" y="8" width="100" height="116" className="drawn-page" />
      {Array.from({ length: 8 }, (_, i) => (
        <rect
          key={i}
          x={234 + 9.5 * i}
          y="46"
          width="9.800"
          height="38"
          className="drawn-ink"
          fillOpacity={0.12 + 0.1 * i}
        />
      ))}
    </svg>
  );
}
