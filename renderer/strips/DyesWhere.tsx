/** Whose dyes lie where: a strip's dyes along a strip, or over a writing sample. */
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import { useDyes } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';
import { Select } from '../look/Select.tsx';
import { DyesAlongStrip } from './DyesAlongStrip.tsx';
import { DyesOverWriting } from './DyesOverWriting.tsx';
import './dyes.css';

export interface DyesWhereProps {
  readonly work: Work;
  readonly report: FindingsReport;
  /** Whose dyes. */
  readonly strip: string;
  /** Where they are looked for; null: nobody said. */
  readonly over: string | null;
  readonly onOver: (region: string) => void;
}

const KINDS = { strip: 'strip', strokes: 'writing', swab: 'swab' } as const;

export function DyesWhere({ work, report, strip, over, onOver }: DyesWhereProps) {
  const papers = new Map(work.scans.map(({ id, paper }) => [id, paper]));
  const choices = work.regions.flatMap(({ region: { id, kind, scan, paper }, measured }) =>
    (kind === 'strip' || kind === 'strokes' || kind === 'swab') && measured !== 'never'
      ? [
          {
            id,
            name: id,
            note: [KINDS[kind], paper ?? papers.get(scan) ?? ''].filter((w) => w !== '').join(', '),
            kind,
          },
        ]
      : [],
  );
  const chosen =
    choices.find(({ id }) => id === over) ??
    choices.find(({ kind, id }) => kind === 'strip' && id !== strip) ??
    choices[0];
  if (!choices.some(({ id }) => id === strip) || !chosen) {
    return <Notice kind="word">The strip is not measured yet: press Measure, and its dyes can be looked for.</Notice>;
  }
  return (
    <div className="dyes-where">
      <p className="dyes-lead">
        The bands of the strip “{strip}” are taken for the ink’s dyes, one each; a dye’s amount is told in units of what
        lies at its band’s crown. Three parts of the spectrum tell at most three dyes apart: where more of them, or
        alike ones, lie together, the ± says so.
      </p>
      <Select
        label="Where its dyes are looked for"
        choices={choices.map(({ id, name, note }) => ({
          id,
          name,
          note: id === strip ? `${note}, the strip itself` : note,
        }))}
        chosen={chosen.id}
        onChoose={onOver}
      />
      <Found key={`${strip} ${chosen.id}`} work={work} report={report} of={strip} over={chosen.id} />
    </div>
  );
}

interface FoundProps {
  readonly work: Work;
  readonly report: FindingsReport;
  readonly of: string;
  readonly over: string;
}

function Found({ work, report, of, over }: FoundProps) {
  const found = useDyes(work.ink.id, of, over);
  if (found.state === 'loading') return <p className="page-loading">Telling the dyes apart…</p>;
  if (found.state === 'failed') return <Notice>{found.problem.message}</Notice>;
  const answer = found.value;
  if (answer.dyes.length === 0)
    return <Notice kind="word">This strip has no bands, and so no dyes to look for.</Notice>;
  return answer.is === 'strip' ? (
    <DyesAlongStrip work={work} answer={answer} findings={report.findings} />
  ) : (
    <DyesOverWriting work={work} answer={answer} findings={report.findings} />
  );
}
