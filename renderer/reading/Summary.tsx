import { useMemo } from 'react';
import { inkSummary, type SummaryLine } from '../../analysis/report/inkSummary.ts';
import type { Names } from '../../analysis/report/names.ts';
import { openQuestions } from '../../analysis/report/openQuestions.ts';
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import { Swatch } from '../look/Swatch.tsx';
import { doubtWords } from '../writing/doubtWords.ts';
import { Claim } from './Claim.tsx';
import { untoldRegions } from './untold.ts';
import { UntoldPart } from './UntoldPart.tsx';
import { Words } from './Words.tsx';

export interface SummaryProps {
  readonly work: Work;
  readonly findings: Pick<FindingsReport, 'problems'>;
  readonly names: Names;
  readonly onChoose: (key: string) => void;
}

/** The ink in a few sentences while no finding is chosen; each leads to the finding that it tells. */
export function Summary({ work, findings, names, onChoose }: SummaryProps) {
  const parts = useMemo(() => inkSummary(names), [names]);
  const open = useMemo(() => (names.findings.size === 0 ? [] : openQuestions(names)), [names]);
  const doubt = useMemo(() => doubtWords([...names.findings.values()]), [names]);
  const untold = useMemo(() => untoldRegions(work, findings), [work, findings]);
  return (
    <>
      <h2 className="reading-title">{work.ink.name}</h2>
      {doubt !== '' && <p>{doubt}</p>}
      {parts.length === 0 && (
        <p>
          {names.findings.size === 0 && untold.length === 0
            ? 'Nothing is measured yet. Draw regions on the scans, then measure; what they say will stand here.'
            : 'Nothing could be told of this ink yet.'}
        </p>
      )}
      <Claim ink={work.ink.name} claim={work.ink.claim} names={names} onChoose={onChoose} />
      {parts.map(({ title, lines }) => (
        <section key={title} className="reading-part" aria-label={title}>
          <h3>{title}</h3>
          <ul>
            {lines.map((line) => (
              <li key={`${line.key} ${line.text}`}>
                <LineColours line={line} />
                <Button kind="plain" onPress={() => onChoose(line.key)}>
                  {/* One piece: a button lays its pieces side by side, and a lowered letter would part the sentence. */}
                  <span>
                    <Words>{line.text}</Words>
                    {line.figures !== undefined && <small> {line.figures}</small>}
                  </span>
                </Button>
              </li>
            ))}
          </ul>
        </section>
      ))}
      <UntoldPart ink={work.ink.id} untold={untold} />
      {open.length > 0 && (
        <section className="reading-part reading-open" aria-label="Not asked yet">
          <h3>Not asked yet</h3>
          <ul>
            {open.map(({ asks, todo }) => (
              <li key={asks}>
                {asks}: {todo}.
              </li>
            ))}
          </ul>
        </section>
      )}
    </>
  );
}

/** Swatches of the colours that the sentence names; it names them for those who cannot see them. */
function LineColours({ line: { colours, text } }: { readonly line: SummaryLine }) {
  if (colours.length === 0) return null;
  return (
    <span className="reading-line-colours" aria-hidden="true">
      {colours.map((lab) => (
        <Swatch key={lab.join()} lab={lab} size={1.25} label={text} />
      ))}
    </span>
  );
}
