import { useEffect, useRef, useState } from 'react';
import type { DocumentTarget, TargetView, WorkScan } from '../../electron/backend/api.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { formatAddress } from '../address/address.ts';
import { edit, useTarget, useTargetFiles, useTargetGrid } from '../api/store.ts';
import { TeachCard } from '../card/TeachCard.tsx';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { useKeys } from '../look/useKeys.ts';
import type { Bench } from './bench.ts';
import { beginCorners, useCornerDraft } from './cornerDraft.ts';
import { PlaceCorners } from './PlaceCorners.tsx';
import { goToResolution } from './resolutionField.ts';
import { pxPerMmOf } from './scanMeasures.ts';
import { TargetChoice } from './TargetChoice.tsx';
import { startingPoints } from './targetCorners.ts';
import { allTargets, fourPoints, isUpToDate, servedBy, targetWith } from './targetsOn.ts';
import type { FourPoints, PlacedTarget } from './targetsOn.ts';
import { type Mending, mendingOf } from './targetMending.ts';
import { crossedWords, locatedWords, servesWords } from './targetWords.ts';
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

/** A target that is said to lie on this scan: how it was found, what the calibration is worth, and what can be done about it. */
export function TargetHere({ bench, scan, placed, inView }: TargetHereProps) {
  const { serves, target } = placed;
  const { pointsMm } = target;
  const loaded = useTarget(bench.ink, scan.id);
  const grid = useTargetGrid(target.layout, target.reference);
  const draft = useCornerDraft(bench.ink, scan.id);
  const [problem, setProblem] = useState<string | null>(null);
  const [choosing, setChoosing] = useState(false);
  const files = useRef<HTMLDetailsElement>(null);
  useEffect(() => {
    if (choosing) files.current?.scrollIntoView({ block: 'nearest' });
  }, [choosing]);
  const set = async (next: DocumentTarget | null): Promise<boolean> => {
    const refused = await edit(bench.ink, { edit: 'setTarget', serves, target: next });
    setProblem(refused?.message ?? null);
    return refused === null;
  };
  const pxPerMm = pxPerMmOf(scan);
  const isOld = loaded.state === 'ready' && !isUpToDate(loaded.value, target, pxPerMm);
  const view = loaded.state === 'ready' && !isOld ? loaded.value : null;
  const start = (): void => {
    const known = knownPoints(target, view, pxPerMm);
    const box = inView();
    const begin =
      known ?? (box && grid.state === 'ready' ? startingPoints(grid.value.pointsMm, pxPerMm ?? 1, box, scan) : null);
    if (!begin) return;
    beginCorners(bench.ink, scan.id, begin);
    announce('Four corners lie on the scan. Drag each onto its place, or choose one and move it with the arrow keys.');
  };
  useKeys('Target', draft ? [] : [{ keys: 'Shift+T', does: 'place the target’s four corners by hand', run: start }]);
  const mends: Readonly<Record<Mending, { readonly words: string; readonly run: () => void }>> = {
    'other-files': { words: 'Choose other files', run: () => setChoosing(true) },
    'no-white-sheet': {
      words: 'Do without the white sheet',
      run: () => void set(targetWith(target, { white: null })),
    },
    resolution: { words: 'Give the scan’s resolution', run: goToResolution },
    corners: { words: 'Place its four corners', run: start },
  };
  const mending = loaded.state === 'failed' ? mendingOf(loaded.problem.code, pointsMm !== undefined) : null;
  const served = servedBy(bench.work, placed);
  return (
    <>
      {problem !== null && !draft && <Notice onDismiss={() => setProblem(null)}>{problem}</Notice>}
      {(loaded.state === 'loading' || isOld) && !draft && (
        <Notice kind="word">Looking for the target and calibrating…</Notice>
      )}
      {draft && (
        <PlaceCorners
          bench={bench}
          scan={scan.id}
          draft={draft}
          where={grid.state === 'ready' ? grid.value.pointsWords : 'the target’s four corners'}
          problem={problem}
          onUse={async (points) =>
            pxPerMm !== null && (await set(targetWith(target, { pointsMm: pointsInMm(points, pxPerMm) })))
          }
        />
      )}
      {loaded.state === 'failed' && !draft && (
        <Notice {...(mending && { action: mends[mending] })}>{loaded.problem.message}</Notice>
      )}
      {view && !draft && <TargetReading view={view} />}
      {!draft && (view !== null || pointsMm) && (
        <div className="buttons">
          {view && (
            <a className="button" data-kind="usual" href={formatAddress(reportOf(bench.ink, scan.id))}>
              Report card
            </a>
          )}
          {view && <Button onPress={start}>Place its four corners</Button>}
          {pointsMm && (
            <Button onPress={() => void set(targetWith(target, { pointsMm: null }))}>Find its points again</Button>
          )}
        </div>
      )}
      <p className="quiet">{servesWords(serves, served)}</p>
      <WhiteSheet bench={bench} placed={placed} onChoose={(white) => void set(targetWith(target, { white }))} />
      {view && <Teaching bench={bench} scan={scan} target={target} />}
      <details
        className="folded"
        ref={files}
        open={choosing}
        onToggle={({ currentTarget }) => setChoosing(currentTarget.open)}
      >
        <summary>Other layout or reference</summary>
        {choosing && <TargetChoice bench={bench} scan={scan} placed={placed} />}
      </details>
      <div className="buttons">
        <Button kind="plain" onPress={() => void set(null)}>
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
      {view.referenceWords !== null && <p>{view.referenceWords}</p>}
      <dl className="facts">
        <dt>Layout</dt>
        <dd>{view.layoutName}</dd>
        <dt>Patches</dt>
        <dd>{view.patches.length}</dd>
        <dt>Left out</dt>
        <dd>{view.leftOutMedian === null ? 'not known' : `${fixed(view.leftOutMedian, 1)} ΔE00 (median)`}</dd>
      </dl>
      {worst.length > 0 && <p className="quiet">{crossedWords(worst)}</p>}
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

/** As they were set or found, px; null: neither. */
function knownPoints({ pointsMm }: DocumentTarget, view: TargetView | null, pxPerMm: number | null): FourPoints | null {
  if (pointsMm && pxPerMm !== null) return fourPoints(pointsMm.map(([x, y]): Point => [x * pxPerMm, y * pxPerMm]));
  return view && fourPoints(view.pointsPx);
}

function reportOf(ink: number, scan: string) {
  return { page: 'calibration', ink, query: { scan } } as const;
}
