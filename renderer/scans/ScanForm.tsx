import { useEffect, useRef, useState } from 'react';
import type { Edit, Problem, WorkScan } from '../../electron/backend/api.ts';
import { tellNotKept } from '../api/meanwhile.ts';
import { edit, useShelf, useTarget } from '../api/store.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { Select } from '../look/Select.tsx';
import type { Bench } from './bench.ts';
import { ComboEntry, NumberEntry, TextEntry } from './entries.tsx';
import { RegionList } from './RegionList.tsx';
import { idProblem } from './regionProposals.ts';
import { followRename, noteRename, nowScan } from './renamed.ts';
import { RESOLUTION_FIELD } from './resolutionField.ts';
import { targetsOn } from './targetsOn.ts';

type ScanChange = Extract<Edit, { edit: 'changeScan' }>['change'];

export interface ScanFormProps {
  readonly bench: Bench;
  readonly scan: WorkScan;
  /** Or its fields alone, as the page opens. */
  readonly isWhole: boolean;
}

/** One scan: what it is called, what it is of, and the regions on it. */
export function ScanForm({ bench, scan, isWhole }: ScanFormProps) {
  const { ink, work } = bench;
  const [problem, setProblem] = useState<string | null>(null);
  const shelf = useShelf();
  const papers = shelf.state === 'ready' ? shelf.value.papers.map(({ name }) => ({ id: name, name })) : [];
  const isInSight = useRef(true);
  useEffect(() => {
    isInSight.current = true;
    return () => {
      isInSight.current = false;
    };
  }, []);
  /** Beside the fields; once another scan is open, where it is seen all the same. */
  const say = (refused: Problem | null): void => {
    if (isInSight.current) setProblem(refused?.message ?? null);
    else if (refused) tellNotKept(ink, refused);
  };
  const change = async (what: ScanChange): Promise<boolean> => {
    const refused = await edit(ink, () => ({ edit: 'changeScan', id: nowScan(ink, scan.id), change: what }));
    say(refused);
    return refused === null;
  };
  const rename = async (id: string): Promise<boolean> => {
    noteRename(ink, 'scan', scan.id, id);
    if (!(await change({ id }))) return false;
    followRename(ink, 'scan', scan.id, id);
    return true;
  };
  const fronts = work.scans.filter((other) => other.side === 'front' && other.id !== scan.id);
  const regions = work.regions.filter(({ region }) => region.scan === scan.id).length;
  return (
    <section className="column-part" aria-label={`Scan ${scan.id}`}>
      <h2>Scan “{scan.id}”</h2>
      {scan.problem !== null &&
        (targetsOn(work, scan.id).length > 0 ? (
          <ProblemUnlessSaid ink={ink} scan={scan.id} words={scan.problem} />
        ) : (
          <Notice>{scan.problem}</Notice>
        ))}
      {problem !== null && <Notice onDismiss={() => setProblem(null)}>{problem}</Notice>}
      <TextEntry
        label="Name"
        value={scan.id}
        check={(id) => idProblem(id, scan.id, work.scans, 'scan')}
        onSave={rename}
      />
      <ComboEntry
        label="Paper"
        value={scan.paper ?? ''}
        suggestions={papers}
        onSave={(paper) => change({ paper: paper === '' ? null : paper })}
      />
      <div className="two-fields">
        <Select
          label="Side"
          choices={[
            { id: 'front', name: 'Front' },
            { id: 'back', name: 'Back' },
          ]}
          chosen={scan.side}
          onChoose={(side) =>
            void change(side === 'back' ? { side: 'back' } : { side: 'front', ...(scan.of !== null && { of: null }) })
          }
        />
        <NumberEntry
          id={RESOLUTION_FIELD}
          label="Resolution"
          unit="dpi"
          digits={1}
          least={1}
          most={20000}
          value={scan.dpi}
          note={DPI_WORDS[scan.dpiFrom]}
          onSave={(dpi) => change({ dpi })}
        />
      </div>
      {scan.side === 'back' && (
        <Select
          label="Back of"
          choices={fronts.map(({ id }) => ({ id, name: id }))}
          chosen={scan.of}
          placeholder="Which front?"
          onChoose={(of) => void change({ of })}
        />
      )}
      {isWhole && (
        <>
          <h3>Regions</h3>
          <RegionList bench={bench} scan={scan.id} />
          <details className="folded">
            <summary>The file</summary>
            <ul>
              <li>{scan.name}</li>
              <li>
                {scan.widthPx} × {scan.heightPx} px, {scan.bits} bits a channel, profile: {scan.icc ?? 'none'}
              </li>
              <li>{scan.colours.words}</li>
              {scan.notes.map((note) => (
                <li key={note}>{note}</li>
              ))}
            </ul>
          </details>
          <Button
            onPress={() => {
              void edit(ink, () => ({ edit: 'removeScan', id: nowScan(ink, scan.id) })).then(say);
            }}
          >
            Remove this scan{regions > 0 ? ` and its ${regions === 1 ? 'region' : `${regions} regions`}` : ''}
          </Button>
          <p className="quiet">Undo brings it back; its file stays in the library.</p>
        </>
      )}
    </section>
  );
}

const DPI_WORDS = {
  file: 'from the file',
  person: 'set by you; empty it to take the file’s own',
  nobody: 'the file says none: enter what the scanner was set to',
} as const;

/** What is wrong with the target on a scan stands beside the target, with what can be done. */
function ProblemUnlessSaid({
  ink,
  scan,
  words,
}: {
  readonly ink: number;
  readonly scan: string;
  readonly words: string;
}) {
  const target = useTarget(ink, scan);
  return target.state === 'failed' && target.problem.message === words ? null : <Notice>{words}</Notice>;
}
