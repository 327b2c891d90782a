import { useState } from 'react';
import type { TargetView, WorkScan } from '../../electron/backend/api.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { edit, useTarget, useTargetFiles } from '../api/store.ts';
import { BringButtons } from '../bring/BringButtons.tsx';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { Select } from '../look/Select.tsx';
import type { Bench } from './bench.ts';
import { pxPerMmOf } from './scanMeasures.ts';
import { isUpToDate, pointsInView, servedBy, targetServing, targetsOn } from './targetsOn.ts';
import type { PlacedTarget } from './targetsOn.ts';
import { pointsInMm } from './useTargetPoints.ts';
import { worstPatches } from './worstPatches.ts';

export interface TargetPanelProps {
  readonly bench: Bench;
  readonly scan: WorkScan;
  /** What is in view of it, px: where points placed by hand start. */
  readonly inView: () => readonly [number, number, number, number] | null;
}

/** The calibration target: the one on this scan, or the way to find one here. */
export function TargetPanel({ bench, scan, inView }: TargetPanelProps) {
  const { work } = bench;
  const placed = targetsOn(work, scan.id);
  const serving = targetServing(work, scan.id);
  return (
    <section className="column-part" aria-label="Target">
      <h2>Target</h2>
      {placed.map((one) => (
        <TargetHere key={one.serves} bench={bench} scan={scan} placed={one} inView={inView} />
      ))}
      {placed.length === 0 && serving && (
        <p>
          Its colours come through the target on{' '}
          <button type="button" className="words-button" onClick={() => openScan(bench, serving.target.scan)}>
            {serving.target.scan}
          </button>
          {serving.serves === 'all' ? ', which serves all scans without one of their own.' : ', for this scan alone.'}
        </p>
      )}
      {placed.length === 0 && <FindTarget bench={bench} scan={scan} />}
    </section>
  );
}

function openScan(bench: Bench, scan: string): void {
  bench.setPlace({ shown: [scan], active: scan, chosen: [], at: null });
}

interface TargetHereProps extends TargetPanelProps {
  readonly placed: PlacedTarget;
}

function TargetHere({ bench, scan, placed, inView }: TargetHereProps) {
  const loaded = useTarget(bench.ink, scan.id);
  const [problem, setProblem] = useState<string | null>(null);
  const { serves, target } = placed;
  const { pointsMm, ...files } = target;
  const set = (next: typeof target | null): void => {
    void edit(bench.ink, { edit: 'setTarget', serves, target: next }).then((refused) =>
      setProblem(refused?.message ?? null),
    );
  };
  const pxPerMm = pxPerMmOf(scan);
  const isOld = loaded.state === 'ready' && !isUpToDate(loaded.value, target, pxPerMm);
  const placeByHand = (): void => {
    const box = inView();
    if (box && pxPerMm !== null) set({ ...files, pointsMm: pointsInMm(pointsInView(box), pxPerMm) });
  };
  const served = servedBy(bench.work, placed);
  return (
    <>
      {problem !== null && <Notice onDismiss={() => setProblem(null)}>{problem}</Notice>}
      {(loaded.state === 'loading' || isOld) && <Notice kind="word">Looking for the target and calibrating…</Notice>}
      {loaded.state === 'failed' && (
        <Notice {...(!pointsMm && { action: { words: 'Place its four points by hand', run: placeByHand } })}>
          {loaded.problem.message}
        </Notice>
      )}
      {loaded.state === 'ready' && !isOld && <TargetReading view={loaded.value} />}
      <p>
        It serves {served.length === 0 ? 'no scan' : served.join(', ')}.
        {pointsMm ? ' Its four points are as you set them.' : ''}
      </p>
      <div className="buttons">
        {pointsMm ? (
          <Button onPress={() => set(files)}>Find its points again</Button>
        ) : (
          loaded.state === 'ready' && <span className="quiet">Drag its four points to set them by hand.</span>
        )}
        <Button onPress={() => set(null)}>Take the target away</Button>
      </div>
    </>
  );
}

function TargetReading({ view }: { readonly view: TargetView }) {
  const worst = worstPatches(view.patches);
  return (
    <>
      <p>{view.words}</p>
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

function FindTarget({ bench, scan }: { readonly bench: Bench; readonly scan: WorkScan }) {
  const files = useTargetFiles();
  const [layout, setLayout] = useState<string | null>(null);
  const [reference, setReference] = useState<string | null>(null);
  const [serves, setServes] = useState('all');
  const [problem, setProblem] = useState<string | null>(null);
  const known = files.state === 'ready' ? files.value : { layouts: [], references: [] };
  const hasFiles = known.layouts.length > 0 && known.references.length > 0;
  const usedLayout = layout ?? known.layouts.at(0)?.hash ?? null;
  const usedReference = reference ?? known.references.at(0)?.hash ?? null;
  const find = (): void => {
    if (usedLayout === null || usedReference === null) return;
    const target = { scan: scan.id, layout: usedLayout, reference: usedReference };
    void edit(bench.ink, { edit: 'setTarget', serves, target }).then((refused) => setProblem(refused?.message ?? null));
  };
  return (
    <details className="folded">
      <summary>Find a target on this scan</summary>
      {files.state === 'failed' && <Notice>{files.problem.message}</Notice>}
      {problem !== null && <Notice onDismiss={() => setProblem(null)}>{problem}</Notice>}
      {hasFiles ? (
        <>
          <Select
            label="Layout"
            choices={known.layouts.map(({ hash, name, title }) => ({ id: hash, name: title, note: name }))}
            chosen={usedLayout}
            onChoose={setLayout}
          />
          <Select
            label="Reference values"
            choices={known.references.map(({ hash, name, patches }) => ({
              id: hash,
              name,
              note: `${patches} patches`,
            }))}
            chosen={usedReference}
            onChoose={setReference}
          />
          <Select
            label="Serves"
            choices={[
              { id: 'all', name: 'All scans without one of their own' },
              { id: scan.id, name: 'This scan alone' },
            ]}
            chosen={serves}
            onChoose={setServes}
          />
          <div className="buttons">
            <Button kind="strong" onPress={find}>
              Find the target here
            </Button>
          </div>
        </>
      ) : (
        <p>
          A target needs two files: its layout (JSON) and its reference values (CGATS text). Bring both, then it can be
          found on this scan.
        </p>
      )}
      <BringButtons ink={bench.ink} />
    </details>
  );
}
