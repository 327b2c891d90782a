import { useCallback, useMemo, useRef, useState } from 'react';
import type { TargetGrid, TargetView, WorkScan } from '../../electron/backend/api.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { Loaded } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';
import { ScanViewer } from '../viewer/ScanViewer.tsx';
import type { ViewHandle } from '../viewer/ScanViewer.tsx';
import { atOf } from '../viewer/placeInAddress.ts';
import type { ViewLink } from '../viewer/viewLink.ts';
import type { ViewPlace } from '../viewer/viewPlace.ts';
import type { Bench } from './bench.ts';
import { HeatLegend, HeatMap } from './HeatMap.tsx';
import { PinMarks } from './PinMarks.tsx';
import { RegionMarks } from './RegionMarks.tsx';
import { StripOfferMarks } from './StripOffers.tsx';
import { TargetFeed } from './TargetFeed.tsx';
import { TargetMarks } from './TargetMarks.tsx';
import { changePins, referenceColour, usePinBoard, withPinMoved } from './pins.ts';
import { pinRadiusPx } from './usePinReadings.ts';
import { pxPerMmOf } from './scanMeasures.ts';
import { isUpToDate, targetsOn } from './targetsOn.ts';
import { useBenchTool } from './useBenchTool.ts';
import { useLabView } from './useLabView.ts';
import { withStripLine } from './stripLines.ts';
import { useTargetPoints } from './useTargetPoints.ts';

export interface BenchViewProps {
  readonly bench: Bench;
  readonly scan: WorkScan;
  readonly link: ViewLink;
  readonly onHandle: (scan: string, handle: ViewHandle | null) => void;
}

/** One scan on the bench: its viewer with regions, target, pins and the map of differences, and the tool in hand. */
export function BenchView({ bench, scan, link, onHandle }: BenchViewProps) {
  const { ink, work, place: shownPlace, drafts, heat } = bench;
  const pins = usePinBoard(ink);
  const reference = referenceColour(pins);
  const active = shownPlace.active === scan.id;
  const [place, setPlace] = useState<ViewPlace | null>(null);
  const [target, setTarget] = useState<Loaded<TargetView> | null>(null);
  const [grid, setGrid] = useState<TargetGrid | null>(null);
  const handle = useRef<ViewHandle | null>(null);
  const pxPerMm = pxPerMmOf(scan);
  const placed = useMemo(() => targetsOn(work, scan.id), [work, scan.id]);
  const calibrated = target?.state === 'ready' ? target.value : null;
  const isOld = calibrated !== null && placed.some((one) => !isUpToDate(calibrated, one.target, pxPerMm));
  const view = isOld ? null : calibrated;
  const points = useTargetPoints(ink, scan, placed, view);
  const lab = useLabView(ink, scan, place, bench.tool.tool === 'probe' || heat);
  const radiusPx = pinRadiusPx(pins.radiusMm, scan);
  const { tool, drawing } = useBenchTool({ bench, pins, scan, points, labView: lab.view, radiusPx });
  const here = drafts.regions.filter((region) => region.scan === scan.id);
  const stepPx = pxPerMm === null ? 1 : pxPerMm * 0.1;

  const takeHandle = useCallback(
    (next: ViewHandle | null) => {
      handle.current = next;
      onHandle(scan.id, next);
    },
    [onHandle, scan.id],
  );
  const problem = drafts.problem && here.find(({ id }) => id === drafts.problem?.id) ? drafts.problem : null;
  const drawUnder = (now: ViewPlace) => heat && <HeatMap place={now} {...lab} reference={reference} />;
  const drawOver = (now: ViewPlace) => (
    <>
      {problem && (
        <div
          className="beside-region"
          style={besideRegion(here.find(({ id }) => id === problem.id)?.boxMm, pxPerMm, now)}
        >
          <Notice onDismiss={() => drafts.say(null)}>{problem.message}</Notice>
        </div>
      )}
      {heat && reference && <HeatLegend reference={reference} />}
    </>
  );
  return (
    <>
      {placed.length > 0 && (
        <TargetFeed ink={ink} scan={scan.id} target={placed[0].target} onTarget={setTarget} onGrid={setGrid} />
      )}
      <ScanViewer
        ink={ink}
        scan={scan}
        label={`Scan “${scan.id}”`}
        link={link}
        active={active}
        arrowsPan={shownPlace.chosen.length === 0}
        tool={tool}
        at={active ? shownPlace.at : null}
        onAt={(at) => {
          if (active) bench.setPlace({ ...shownPlace, at });
        }}
        onActive={() => {
          if (active) return;
          const now = handle.current?.place;
          bench.setPlace({ ...shownPlace, active: scan.id, at: now ? atOf(now.view, now.size) : null });
        }}
        onPlace={setPlace}
        onHandle={takeHandle}
        foot={<ViewFoot scan={scan} />}
        under={drawUnder}
        over={drawOver}
      >
        {(now) => (
          <g style={{ color: bench.lineColour }}>
            {placed.length > 0 && (
              <TargetMarks
                view={points.isPlacing ? null : view}
                grid={grid}
                isByHand={points.isPlacing}
                points={points.points}
                place={now}
                stepPx={stepPx}
                onMovePoint={(index, byX, byY) => {
                  const at = points.points?.[index];
                  if (!at) return;
                  points.move(index, [at[0] + byX, at[1] + byY]);
                  points.settle(`arrows ${index}`);
                }}
              />
            )}
            {pxPerMm !== null && (
              <RegionMarks
                regions={here}
                chosen={shownPlace.chosen}
                pxPerMm={pxPerMm}
                place={now}
                onFocus={(region) => {
                  if (!shownPlace.chosen.includes(region.id)) bench.choose([region.id]);
                  bench.show(region);
                }}
                onEnter={focusFields}
                onMoveLine={(strip, line, mm) => {
                  drafts.preview([withStripLine(strip, line, mm)]);
                  drafts.save();
                }}
              />
            )}
            {pxPerMm !== null && (
              <StripOfferMarks bench={bench} scan={scan} pxPerMm={pxPerMm} pxPerScreen={now.pxPerScreen} />
            )}
            {drawing && pxPerMm !== null && <DrawnBox box={drawing} pxPerMm={pxPerMm} />}
            <PinMarks
              board={pins}
              scan={scan.id}
              radiusPx={radiusPx}
              place={now}
              stepPx={stepPx}
              onMove={(pin, x, y) => changePins(ink, (board) => withPinMoved(board, pin.id, [x, y], null))}
            />
          </g>
        )}
      </ScanViewer>
    </>
  );
}

/** The first field of what is chosen, ready to be typed over. */
function focusFields(): void {
  const field = document.querySelector<HTMLInputElement>('.scans-right .react-aria-Input');
  field?.focus();
  field?.select();
}

function ViewFoot({ scan }: { readonly scan: WorkScan }) {
  return (
    <>
      <span className="bench-view-name">{scan.id}</span>
      <span className="bench-view-colours" title={scan.colours.words}>
        {scan.colours.words}
      </span>
    </>
  );
}

function DrawnBox({ box, pxPerMm }: { readonly box: readonly number[]; readonly pxPerMm: number }) {
  const [x, y, width, height] = box.map((mm) => mm * pxPerMm);
  return (
    <>
      <rect className="mark-casing mark-casing-dark" x={x} y={y} width={width} height={height} />
      <rect className="mark-line" data-dashed="true" x={x} y={y} width={width} height={height} />
    </>
  );
}

/** Under the region when there is room, in sight in any case. */
function besideRegion(
  boxMm: readonly [number, number, number, number] | undefined,
  pxPerMm: number | null,
  place: ViewPlace,
): { left: number; top: number } {
  const below: Point =
    boxMm && pxPerMm !== null ? place.toScreen([boxMm[0] * pxPerMm, (boxMm[1] + boxMm[3]) * pxPerMm]) : [8, 8];
  return {
    left: Math.min(Math.max(8, below[0]), Math.max(8, place.size.width - 340)),
    top: Math.min(Math.max(8, below[1] + 8), Math.max(8, place.size.height - 150)),
  };
}
