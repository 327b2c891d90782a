import { memo, useDeferredValue, useEffect, useRef, useState } from 'react';
import type { WorkScan } from '../../electron/backend/api.ts';
import { overviewUrl } from '../api/client.ts';
import { Button } from '../look/Button.tsx';
import { onceLaidOut } from '../look/onceLaidOut.ts';
import type { Bench } from './bench.ts';
import { MOST_SHOWN, withScanOpened, withScanToggled } from './scansAddress.ts';
import { targetServing, targetsOn, whiteSheetFor } from './targetsOn.ts';

interface Props {
  readonly bench: Bench;
}

const LATER_MS = 500;

/** The ink's scans: press one to see it, or lay it beside those in sight. Drawn after the scan itself has answered. */
export function ScanList(props: Props) {
  return <Cards {...useDeferredValue(props)} />;
}

const Cards = memo(function Cards({ bench }: Props) {
  const { ink, work, place, setPlace } = bench;
  /** Pictures of scans that are not in sight come a little later and one after another: the one in sight has the machine first. */
  const [isLater, setIsLater] = useState(false);
  const [settled, setSettled] = useState<ReadonlySet<string>>(new Set());
  const settle = (scan: string): void => setSettled((before) => new Set(before).add(scan));
  const next = work.scans.find(({ id }) => !settled.has(id))?.id;
  useEffect(() => {
    const timer = setTimeout(() => setIsLater(true), LATER_MS);
    return () => clearTimeout(timer);
  }, []);
  const list = useRef<HTMLOListElement>(null);
  const active = place.active ?? '';
  // After a reload the list would stand at its top, whichever scan of dozens the address names.
  useEffect(() => {
    return onceLaidOut(() => {
      list.current?.querySelector(`[data-scan="${CSS.escape(active)}"]`)?.scrollIntoView({ block: 'nearest' });
    });
  }, [active]);
  return (
    <ol className="scan-list" ref={list}>
      {work.scans.map((scan) => {
        const shown = place.shown.includes(scan.id);
        const comes = shown || settled.has(scan.id) || (isLater && scan.id === next);
        const alone = shown && place.shown.length === 1;
        return (
          <li
            key={scan.id}
            className="scan-card"
            data-scan={scan.id}
            data-shown={shown}
            data-active={place.active === scan.id}
          >
            <button
              type="button"
              className="scan-card-open"
              aria-current={place.active === scan.id}
              onClick={() => setPlace(withScanOpened(place, scan.id))}
            >
              <img
                src={comes ? overviewUrl(ink, scan.id, scan.colours.key) : undefined}
                alt=""
                draggable={false}
                // A picture that does not come leaves its room empty; the words beside it say why.
                onError={({ currentTarget }) => {
                  currentTarget.style.setProperty('visibility', 'hidden');
                  settle(scan.id);
                }}
                onLoad={({ currentTarget }) => {
                  currentTarget.style.removeProperty('visibility');
                  settle(scan.id);
                }}
              />
              <span className="scan-card-words">
                <strong>{scan.id}</strong>
                {(scan.paper !== null || !servesOthers(bench, scan)) && <span>{scan.paper ?? 'paper not said'}</span>}
                <span className="scan-card-small">{sizeWords(scan)}</span>
                <span className="scan-card-small">{servedWords(bench, scan)}</span>
                <span className="scan-card-small">{regionWords(bench, scan)}</span>
                {scan.problem !== null && (
                  <span className="scan-card-problem" title={scan.problem}>
                    {scan.problem}
                  </span>
                )}
              </span>
            </button>
            <Button
              kind="plain"
              chosen={shown && !alone}
              isDisabled={alone || (!shown && place.shown.length >= MOST_SHOWN)}
              onPress={() => setPlace(withScanToggled(place, scan.id))}
              aria-label={
                shown ? `In sight: take “${scan.id}” off the bench` : `Beside: lay “${scan.id}” with the others`
              }
            >
              {shown ? 'In sight' : 'Beside'}
            </Button>
          </li>
        );
      })}
    </ol>
  );
});

function sizeWords({ dpi, side, of }: WorkScan): string {
  const back = side === 'back' ? `, back${of === null ? '' : ` of ${of}`}` : '';
  return `${dpi === null ? 'resolution not known' : `${Math.round(dpi)} dpi`}${back}`;
}

/** Whether a scan is there for the others' sake: then nobody need say its paper, nor draw on it. */
function servesOthers({ work }: Bench, scan: WorkScan): boolean {
  return targetsOn(work, scan.id).length > 0 || whiteSheetFor(work, scan.id).length > 0;
}

/** How far a scan has come, so that one of many without a region is seen. */
function regionWords(bench: Bench, scan: WorkScan): string | null {
  const regions = bench.drafts.regions.filter((region) => region.scan === scan.id).length;
  if (regions > 0) return regions === 1 ? '1 region' : `${regions} regions`;
  return servesOthers(bench, scan) ? null : 'no region yet';
}

/** Where a scan's colours come from. */
function servedWords({ work }: Bench, scan: WorkScan): string {
  if (targetsOn(work, scan.id).length > 0) return 'holds a target';
  if (whiteSheetFor(work, scan.id).length > 0) return 'white sheet';
  const serving = targetServing(work, scan.id);
  return serving ? `target: ${serving.target.scan}` : 'no target';
}
