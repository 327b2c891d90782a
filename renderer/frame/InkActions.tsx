import { useState } from 'react';
import type { Work } from '../../electron/backend/api.ts';
import { heldWork, measure, onceWorkIsHeld, redo, undo, useSaving, useWork } from '../api/store.ts';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Progress } from '../look/Progress.tsx';
import { useKeys } from '../look/useKeys.ts';
import { CancelJob } from './CancelJob.tsx';

/** Undo, redo, and measuring, for the open ink. */
export function InkActions({ ink }: { readonly ink: number }) {
  const loaded = useWork(ink);
  const work = loaded.state === 'ready' ? loaded.value : null;
  // What is on its way to the library, or waits for another try, can be taken back, or done again, as soon as it is there: nobody need wait.
  const onItsWay = useSaving(ink).state !== 'saved';
  const takeBack = (): void => void tell('Undone', undo(ink), () => heldWork(ink)?.redo);
  const doAgain = (): void => void tell('Done again', redo(ink), () => heldWork(ink)?.undo);
  /** The ink whose measuring was asked for and is not answered yet. */
  const [asked, setAsked] = useState<number | null>(null);
  const start = (): void => {
    if (asked === ink) return;
    setAsked(ink);
    void startMeasuring(ink).then(() => setAsked((now) => (now === ink ? null : now)));
  };
  /** Who is quicker than the work comes means it as it will be there. */
  const onceThere = (way: 'undo' | 'redo', run: () => void): void =>
    onceWorkIsHeld(ink, (held) => {
      if (onItsWay || held[way] !== null) run();
    });
  useKeys('This ink', [
    { keys: 'm', does: 'measure what is not up to date', run: start },
    { keys: 'Ctrl+Z', does: 'undo the last change', run: () => onceThere('undo', takeBack) },
    { keys: 'Ctrl+Shift+Z / Ctrl+Y', does: 'do again what was undone', run: () => onceThere('redo', doAgain) },
  ]);
  if (!work) return null;
  const { job } = work;
  return (
    <>
      <StepButton name="Undo" what={work.undo} keys="Control+Z" onPress={takeBack} />
      <StepButton name="Redo" what={work.redo} keys="Control+Shift+Z" onPress={doAgain} />
      {job?.state === 'running' ? (
        <div className="job">
          <Progress
            label={job.what}
            done={job.done}
            total={job.total}
            {...(job.total > 0 && { words: `${job.done} of ${job.total}` })}
          />
          <CancelJob job={job.id} />
        </div>
      ) : (
        <MeasureButton work={work} isAsked={asked === ink} onPress={start} />
      )}
    </>
  );
}

interface StepButtonProps {
  readonly name: 'Undo' | 'Redo';
  /** What it would take back or do again; null: nothing. */
  readonly what: string | null;
  readonly keys: string;
  readonly onPress: () => void;
}

function StepButton({ name, what, keys, onPress }: StepButtonProps) {
  return (
    <Button kind="plain" isDisabled={what === null} onPress={onPress} aria-keyshortcuts={keys}>
      <span className="two-lines">
        <span>{name}</span>
        <small title={what ?? ''}>{what ?? 'nothing'}</small>
      </span>
    </Button>
  );
}

interface MeasureProps {
  readonly work: Work;
  readonly isAsked: boolean;
  readonly onPress: () => void;
}

function MeasureButton({ work, isAsked, onPress }: MeasureProps) {
  const waiting = work.regions.filter((r) => r.measured !== 'current' && r.problem === null).length;
  const standing =
    work.regions.length === 0 ? 'no regions yet' : waiting === 0 ? 'all up to date' : `${waiting} to measure`;
  return (
    <Button
      kind={waiting > 0 ? 'strong' : 'usual'}
      isDisabled={work.regions.length === 0}
      onPress={onPress}
      aria-keyshortcuts="m"
    >
      <span className="two-lines">
        <span>Measure</span>
        <small>{isAsked ? 'starting…' : standing}</small>
      </span>
    </Button>
  );
}

async function startMeasuring(ink: number): Promise<void> {
  const problem = await measure(ink);
  announce(problem ? problem.message : 'Measuring.');
}

/** @param what Asked once the library has answered: what is drawn may be older. */
async function tell(
  done: string,
  outcome: ReturnType<typeof undo>,
  what: () => string | null | undefined,
): Promise<void> {
  const problem = await outcome;
  announce(problem ? problem.message : `${done}: ${what() ?? 'the last change'}.`);
}
