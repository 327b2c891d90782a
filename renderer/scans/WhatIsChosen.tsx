/** The Scans page's right column: the chosen region or regions, the probe, else the scan with its target. */
import { memo, useDeferredValue, useLayoutEffect, useMemo, useRef } from 'react';
import { useInTurn } from '../look/useInTurn.ts';
import type { ViewHandle } from '../viewer/ScanViewer.tsx';
import { StripOffers } from './StripOffers.tsx';
import { type Bench, scanOf } from './bench.ts';
import { ProbePanel } from './ProbePanel.tsx';
import { RegionForm, SeveralRegions } from './RegionForm.tsx';
import { firstName } from './renamed.ts';
import { RegionSays } from './RegionSays.tsx';
import { DrawnWork, FieldsOf } from './saidHere.ts';
import { ScanForm } from './ScanForm.tsx';
import { TargetPanel } from './TargetPanel.tsx';
import type { BenchActions } from './useBenchKeys.ts';

interface Props {
  readonly bench: Bench;
  readonly actions: BenchActions;
  readonly viewInSight: () => ViewHandle | null;
  readonly hasPins: boolean;
}

const LABEL = 'What is chosen';

/**
 * Its fields are drawn in parts, after the scan and the tools have answered: they are many, and nobody waits for them. Those of
 * a region that was reached by Tab come at once: who walks there goes on into them.
 */
export function WhatIsChosen(props: Props) {
  const drawn = useDeferredValue<Props | null>(props, null);
  if (!drawn) return <aside className="scans-right" aria-label={LABEL} />;
  const isOther = props.bench.place.chosen.join() !== drawn.bench.place.chosen.join();
  const isWalkedTo = document.activeElement?.matches('[data-region]') === true;
  return <Column {...(isOther && isWalkedTo ? props : drawn)} />;
}

const Column = memo(function Column({ bench, actions, viewInSight, hasPins }: Props) {
  const { ink, drafts, place, tool } = bench;
  const { revision } = bench.work;
  const drawnWork = useMemo(() => ({ ink, revision }), [ink, revision]);
  /** As the page opens what is told of a scan comes one below the other; of the next scan at once. */
  const parts = useInTurn(3, 1);
  const active = scanOf(bench, place.active);
  const chosen = drafts.regions.filter(({ id }) => place.chosen.includes(id));
  const first =
    chosen.length === 1
      ? firstName(ink, 'region', chosen[0].id, (name) => drafts.regions.some(({ id }) => id === name))
      : '';
  const column = useRef<HTMLElement>(null);
  const about = chosen.length === 0 ? `scan ${active?.hash}` : chosen.length === 1 ? `region ${first}` : 'several';
  // What is chosen next is read from its heading on.
  const read = useRef(about);
  useLayoutEffect(() => {
    if (read.current !== about) column.current?.scrollTo(0, 0);
    read.current = about;
  }, [about]);
  return (
    <DrawnWork value={drawnWork}>
      <aside className="scans-right" aria-label={LABEL} ref={column}>
        {chosen.length === 1 && (
          <FieldsOf value={`“${chosen[0].id}”`}>
            <RegionForm
              key={first}
              bench={bench}
              region={chosen[0]}
              onDuplicate={actions.duplicate}
              onRemove={actions.remove}
            />
            <RegionSays bench={bench} region={chosen[0].id} />
          </FieldsOf>
        )}
        {chosen.length > 1 && (
          <SeveralRegions regions={chosen} onDuplicate={actions.duplicate} onRemove={actions.remove} />
        )}
        {(tool.tool === 'probe' || hasPins) && <ProbePanel bench={bench} />}
        {chosen.length === 0 && active && (
          <>
            <FieldsOf value={`scan “${active.id}”`}>
              <ScanForm key={active.hash} bench={bench} scan={active} isWhole={parts > 1} />
            </FieldsOf>
            {parts > 1 && (
              <TargetPanel
                key={`target ${active.hash}`}
                bench={bench}
                scan={active}
                inView={() => viewInSight()?.place?.boxPx ?? null}
              />
            )}
            {parts > 2 && <StripOffers key={`strips ${active.hash}`} bench={bench} scan={active} />}
          </>
        )}
      </aside>
    </DrawnWork>
  );
});
