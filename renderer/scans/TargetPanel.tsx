import type { WorkScan } from '../../electron/backend/api.ts';
import { PrintCard } from '../card/PrintCard.tsx';
import { LayOnScanner } from '../look/LayOnScanner.tsx';
import type { Bench } from './bench.ts';
import { TargetChoice } from './TargetChoice.tsx';
import { TargetHere } from './TargetHere.tsx';
import { allTargets, targetServing, targetsOn, whiteSheetFor } from './targetsOn.ts';
import { uncalibratedWords, whiteSheetWords } from './targetWords.ts';
import { Folded } from '../look/Folded.tsx';

export interface TargetPanelProps {
  readonly bench: Bench;
  readonly scan: WorkScan;
  /** What is in view of it, px: where points placed by hand start. */
  readonly inView: () => readonly [number, number, number, number] | null;
}

/** The calibration target: the one on this scan, or the way to one. */
export function TargetPanel({ bench, scan, inView }: TargetPanelProps) {
  const { work } = bench;
  const placed = targetsOn(work, scan.id);
  const serving = targetServing(work, scan.id);
  const lights = whiteSheetFor(work, scan.id);
  return (
    <section className="column-part" aria-label="Target">
      <h2>Target</h2>
      {placed.map((one) => (
        <TargetHere key={one.serves} bench={bench} scan={scan} placed={one} inView={inView} />
      ))}
      {lights.length > 0 && <p>{whiteSheetWords(lights)}</p>}
      {placed.length === 0 && lights.length === 0 && serving && (
        <p>
          Its colours come through the target on{' '}
          <button type="button" className="words-button" onClick={() => openScan(bench, serving.target.scan)}>
            “{serving.target.scan}”
          </button>
          {serving.serves === 'all' ? ', which serves all scans without one of their own.' : ', for this scan alone.'}
        </p>
      )}
      {placed.length === 0 && lights.length === 0 && !serving && <NoTarget bench={bench} scan={scan} />}
      {placed.length === 0 && (
        <Folded summary="Find a target on this scan" kind={serving || lights.length > 0 ? 'plain' : 'strong'}>
          <TargetChoice bench={bench} scan={scan} />
        </Folded>
      )}
      {placed.length === 0 && lights.length === 0 && !serving && <PrintCard />}
    </section>
  );
}

/** What it costs to go on without, and what to do instead. */
function NoTarget({ bench, scan }: Pick<TargetPanelProps, 'bench' | 'scan'>) {
  const isFirst = allTargets(bench.work).length === 0;
  return (
    <>
      <p>{uncalibratedWords(scan)}</p>
      {isFirst && (
        <div className="target-lay">
          <LayOnScanner />
          <p>
            Lay a target with known colours on the glass, scan it with the same settings, and say here that it is there.
          </p>
        </div>
      )}
    </>
  );
}

function openScan(bench: Bench, scan: string): void {
  bench.setPlace({ shown: [scan], active: scan, chosen: [], at: null });
}
