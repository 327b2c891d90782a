import { useState } from 'react';
import type { DocumentTarget, TargetView, WorkScan } from '../../electron/backend/api.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { formatAddress } from '../address/address.ts';
import { edit, useTarget, useTargetFiles, useTargetGrid } from '../api/store.ts';
import { TeachCard } from '../card/TeachCard.tsx';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { useKeys } from '../look/useKeys.ts';
import type { Bench } from './bench.ts';
import { pxPerMmOf } from './scanMeasures.ts';
import { TargetChoice } from './TargetChoice.tsx';
import { startingPoints, turned } from './targetCorners.ts';
import { allTargets, fourPoints, isUpToDate, servedBy, targetWith } from './targetsOn.ts';
import type { PlacedTarget } from './targetsOn.ts';
import { locatedWords } from './targetWords.ts';
import { pointsInMm } from './useTargetPoints.ts';
import { WhiteSheet } from './WhiteSheet.tsx';
import { worstPatches } from './worstPatches.ts';

export interface TargetHereProps {
  readonly bench: Bench;
  readonly scan: WorkScan;
  readonly placed: PlacedTarget;
  /** What is in view of the scan, px. */
  readonly inView: () => readonly [number, number, number, number] | null;
}

type PointsMm = NonNullable<DocumentTarget['pointsMm']>;

/** A target that is said to lie on this scan: how it was found, what the calibration is worth, and what can be done about it. */
export function TargetHere({ bench, scan, placed, inView }: TargetHereProps) {
  const { serves, target } = placed;
  const { pointsMm } = target;
  const loaded = useTarget(bench.ink, scan.id);
  const grid = useTargetGrid(target.layout, target.reference);
  const [problem, setProblem] = useState<string | null>(null);
  /** Where the points were put to be dragged: until then they say nothing about the target. */
  const [started, setStarted] = useState<string | null>(null);
  const set = (next: DocumentTarget | null): void => {
    void edit(bench.ink, { edit: 'setTarget', serves, target: next }).then((refused) =>
      setProblem(refused?.message ?? null),
    );
  };
  const pxPerMm = pxPerMmOf(scan);
  const isOld = loaded.state === 'ready' && !isUpToDate(loaded.value, target, pxPerMm);
  const view = loaded.state === 'ready' && !isOld ? loaded.value : null;
  const waits = started !== null && started === JSON.stringify(pointsMm);
  const start = (): void => {
    const box = inView();
    if (!box || pxPerMm === null || grid.state !== 'ready') return;
    const points = pointsInMm(startingPoints(grid.value.pointsMm, pxPerMm, box, scan), pxPerMm);
    setStarted(JSON.stringify(points));
    set({ ...target, pointsMm: points });
    announce('Four corners lie on the scan. Drag each onto its place, or choose one and move it with the arrow keys.');
  };
  const points = pointsMm ?? foundMm(view, pxPerMm);
  const turn = (): void => {
    if (!points) return;
    set({ ...target, pointsMm: turned(points) });
    announce('Turned by a quarter.');
  };
  useKeys('Target', [
    { keys: 't', does: 'turn the target’s corners by a quarter', run: turn },
    ...(pointsMm ? [] : [{ keys: 'Shift+T', does: 'place the target’s four corners by hand', run: start }]),
  ]);
  const served = servedBy(bench.work, placed);
  return (
    <>
      {problem !== null && <Notice onDismiss={() => setProblem(null)}>{problem}</Notice>}
      {(loaded.state === 'loading' || isOld) && <Notice kind="word">Looking for the target and calibrating…</Notice>}
      {waits && (
        <Notice kind="word">
          Put the four points on {grid.state === 'ready' ? grid.value.pointsWords : 'the target’s four corners'}. The
          squares show which colour belongs where.
        </Notice>
      )}
      {loaded.state === 'failed' && !waits && (
        <Notice {...(!pointsMm && { action: { words: 'Place its four corners', run: start } })}>
          {loaded.problem.message}
        </Notice>
      )}
      {view && !waits && <TargetReading view={view} />}
      {(view !== null || pointsMm) && (
        <div className="buttons">
          {view && (
            <a className="button" data-kind="usual" href={formatAddress(reportOf(bench.ink, scan.id))}>
              Report card
            </a>
          )}
          {pointsMm && (
            <Button onPress={turn} aria-keyshortcuts="t">
              Turn by a quarter <kbd>T</kbd>
            </Button>
          )}
          {pointsMm && (
            <Button onPress={() => set(targetWith(target, { pointsMm: null }))}>Find its points again</Button>
          )}
          {!pointsMm && view && <Button onPress={start}>Place its four corners</Button>}
        </div>
      )}
      <p className="quiet">It serves {served.length === 0 ? 'no scan' : served.join(', ')}.</p>
      <WhiteSheet bench={bench} placed={placed} onChoose={(white) => set(targetWith(target, { white }))} />
      {view && <Teaching bench={bench} scan={scan} target={target} />}
      <details className="folded">
        <summary>Other layout or reference</summary>
        <TargetChoice bench={bench} scan={scan} placed={placed} />
      </details>
      <div className="buttons">
        <Button kind="plain" onPress={() => set(null)}>
          Take the target away
        </Button>
      </div>
    </>
  );
}

function TargetReading({ view }: { readonly view: TargetView }) {
  const worst = worstPatches(view.patches);
  const found = locatedWords(view.located);
  return (
    <>
      <p>{view.words}</p>
      {view.cautions.length > 0 && (
        <ul className="cautions" aria-label="What to mend or know">
          {view.cautions.map(({ code, words }) => (
            <li key={code}>{words}</li>
          ))}
        </ul>
      )}
      {found !== null && <p>{found}</p>}
      <dl className="facts">
        <dt>Layout</dt>
        <dd>{view.layoutName}</dd>
        <dt>Patches</dt>
        <dd>{view.patches.length}</dd>
        <dt>Left out</dt>
        <dd>{view.leftOutMedian === null ? 'not known' : `${fixed(view.leftOutMedian, 1)} ΔE00 (median)`}</dd>
      </dl>
      {worst.length > 0 && (
        <p className="quiet">
          Crossed on the scan: {worst.map(({ id, dE00LeftOut }) => `${id} (${fixed(dE00LeftOut, 1)} ΔE00)`).join(', ')},
          the patches that a calibration without them tells worst.
        </p>
      )}
    </>
  );
}

/** Not of the card itself, which has no known values but those that it was taught. */
function Teaching({
  bench,
  scan,
  target,
}: Pick<TargetHereProps, 'bench' | 'scan'> & { readonly target: DocumentTarget }) {
  const files = useTargetFiles();
  if (files.state !== 'ready') return null;
  const card = files.value.layouts.find(({ from, name }) => from === 'built-in' && name === 'card')?.hash;
  if (target.layout === card) return null;
  const others = allTargets(bench.work)
    .filter((other) => other.layout !== card && other.scan !== scan.id)
    .map((other) => other.scan);
  return <TeachCard ink={bench.ink} scan={scan.id} others={[...new Set(others)]} />;
}

/** As they were found. */
function foundMm(view: TargetView | null, pxPerMm: number | null): PointsMm | null {
  const points = view && fourPoints(view.pointsPx);
  return points && pxPerMm !== null ? pointsInMm(points, pxPerMm) : null;
}

function reportOf(ink: number, scan: string) {
  return { page: 'calibration', ink, query: { scan } } as const;
}
