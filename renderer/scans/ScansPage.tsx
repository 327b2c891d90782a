import { useCallback, useDeferredValue, useEffect, useMemo, useState } from 'react';
import type { Work } from '../../electron/backend/api.ts';
import { lineColourFar } from '../../analysis/colour/lineColour.ts';
import { shown as shownOnScreen } from '../../analysis/colour/shown.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { goTo, useAddress } from '../address/useAddress.ts';
import { useShelf, useWork } from '../api/store.ts';
import { BringButtons } from '../bring/BringButtons.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import { Notice } from '../look/Notice.tsx';
import type { ViewHandle } from '../viewer/ScanViewer.tsx';
import { ViewLink } from '../viewer/viewLink.ts';
import { scanOf } from './bench.ts';
import type { Bench, Tool } from './bench.ts';
import { BenchView } from './BenchView.tsx';
import { DragInHand } from './dragInHand.ts';
import { LayPage } from './LayPage.tsx';
import { PinReader } from './PinReader.tsx';
import { ScanList } from './ScanList.tsx';
import { ToolBar } from './ToolBar.tsx';
import { referenceColour, usePinFact } from './pins.ts';
import type { RegionKind } from './regionKinds.ts';
import { nowCalledAll } from './renamed.ts';
import { boxInPx, pxPerMmOf } from './scanMeasures.ts';
import { ViewHandles } from './viewHandles.ts';
import { readScansPlace, writeScansPlace } from './scansAddress.ts';
import type { ScansPlace } from './scansAddress.ts';
import { useBenchKeys } from './useBenchKeys.ts';
import { useRegionDrafts } from './useRegionDrafts.ts';
import { WhatIsChosen } from './WhatIsChosen.tsx';
import './removedElsewhere.ts';
import './scans.css';

/** Scans, regions, target and probe of one ink. */
export default function ScansPage({ ink }: { readonly ink: number }) {
  const work = useWork(ink);
  // The bench is drawn for the first time in parts, between whatever else the window has to do; after that it follows at once.
  const opened = useDeferredValue(work.state === 'ready', false);
  if (work.state === 'loading' || (work.state === 'ready' && !opened)) return <p className="page-loading">Opening…</p>;
  if (work.state === 'failed') {
    return (
      <div className="page-fault">
        <Notice>{work.problem.message}</Notice>
      </div>
    );
  }
  if (work.value.scans.length === 0) {
    return (
      <div className="scans-nothing">
        <EmptyState
          sentence="Lay the page square on the scanner, scan it in colour at 600 dpi with everything automatic switched off, and bring the file."
          drawing={<LayPage />}
        >
          <BringButtons ink={ink} strong />
        </EmptyState>
      </div>
    );
  }
  return <Scans ink={ink} work={work.value} />;
}

function Scans({ ink, work }: { readonly ink: number; readonly work: Work }) {
  const { query } = useAddress();
  const drafts = useRegionDrafts(ink, work);
  const place = readScansPlace(
    {
      ...query,
      scan: nowCalledAll(ink, 'scan', query['scan'], work.scans),
      view: nowCalledAll(ink, 'scan', query['view'], work.scans),
      region: nowCalledAll(ink, 'region', query['region'], drafts.regions),
    },
    work.scans,
    drafts.regions,
  );
  const [tool, setToolState] = useState<Tool>({ tool: 'choose' });
  const [lastKind, setLastKind] = useState<RegionKind>('strokes');
  const [heat, setHeat] = useState(false);
  const [moveTogether, setMoveTogether] = useState(false);
  const [link] = useState(() => new ViewLink());
  const [drag] = useState(() => new DragInHand());
  const [handles] = useState(() => new ViewHandles());
  const hasPins = usePinFact(ink, (board) => board.pins.length > 0);
  const hasReference = usePinFact(ink, (board) => referenceColour(board) !== null);
  useEffect(() => {
    link.moveTogether(moveTogether);
  }, [link, moveTogether]);

  const setPlace = (next: ScansPlace): void => {
    const scansChange = next.shown.join(';') !== place.shown.join(';');
    goTo({ page: 'scans', ink, query: writeScansPlace(next) }, { replace: !scansChange });
  };
  const setTool = (next: Tool): void => {
    setToolState(next);
    if (next.tool === 'draw') setLastKind(next.kind);
  };
  const bench: Bench = {
    ink,
    work,
    place,
    setPlace,
    drafts,
    tool,
    drag,
    setTool,
    hasReference,
    heat: heat && hasReference,
    setHeat,
    lineColour: useLineColour(work),
    choose: (ids) => setPlace({ ...place, chosen: ids }),
    show: (region) => {
      const scan = work.scans.find(({ id }) => id === region.scan);
      const pxPerMm = scan ? pxPerMmOf(scan) : null;
      if (region.boxMm && pxPerMm !== null) handles.of(region.scan)?.show(boxInPx(region.boxMm, pxPerMm));
    },
  };
  const onHandle = useCallback((scan: string, handle: ViewHandle | null) => handles.keep(scan, handle), [handles]);
  const active = scanOf(bench, place.active);
  const viewInSight = (): ViewHandle | null => (active ? handles.of(active.id) : null);
  const actions = useBenchKeys(bench, lastKind, viewInSight);
  return (
    <div className="scans-page">
      <PinReader ink={ink} scans={work.scans} />
      <nav className="scans-left" aria-label="Scans of this ink">
        <ScanList bench={bench} />
        <BringButtons ink={ink} />
      </nav>
      <div className="scans-bench">
        <ToolBar
          bench={bench}
          drawProblem={
            active?.dpi === null ? `“${active.id}” has no resolution: enter its dpi, then regions can be drawn.` : null
          }
          moveTogether={moveTogether}
          onMoveTogether={setMoveTogether}
        />
        <div className="scans-views" data-count={place.shown.length}>
          {place.shown.map((id) => {
            const scan = scanOf(bench, id);
            return scan && <BenchView key={scan.hash} bench={bench} scan={scan} link={link} onHandle={onHandle} />;
          })}
        </div>
      </div>
      <WhatIsChosen {...{ bench, actions, viewInSight, hasPins }} />
    </div>
  );
}

/** White paper where nothing is known of it, */
const SOME_PAPER: LabValue = [94, 0, 2];
/** and dark inks, blue, red and green, where none is measured: a line stands out from most. */
const SOME_INKS: readonly LabValue[] = [
  [30, 15, -45],
  [36, 45, 15],
  [34, -25, 0],
];

function useLineColour(work: Work): string {
  const shelf = useShelf();
  const inks = work.ink.swatches;
  const papers = shelf.state === 'ready' ? shelf.value.papers : null;
  return useMemo(() => {
    const used = new Set(work.scans.map(({ paper }) => paper));
    const grounds = (papers ?? []).flatMap(({ name, lab }) => (lab && used.has(name) ? [lab] : []));
    const under = [...(inks.length > 0 ? inks : SOME_INKS), ...(grounds.length > 0 ? grounds : [SOME_PAPER])];
    return shownOnScreen(lineColourFar(under)).hex;
  }, [work.scans, inks, papers]);
}
