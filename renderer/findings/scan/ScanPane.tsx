/** The scan that the chosen finding lies on, or both when it lies on two: at one scale, with a legend of their marks. */
import { type ReactNode, useEffect, useRef, useState } from 'react';
import type { RegionDetail, SheetRegion, TracedFinding, Work, WorkScan } from '../../../electron/backend/api.ts';
import { Button } from '../../look/Button.tsx';
import { Notice } from '../../look/Notice.tsx';
import { useKeys } from '../../look/useKeys.ts';
import { plotFor } from '../../reading/plotFor.ts';
import type { ViewHandle } from '../../viewer/ScanViewer.tsx';
import { ViewLink } from '../../viewer/viewLink.ts';
import { aims, boxOnScan } from './flight.ts';
import { OverlayLegend } from './OverlayLegend.tsx';
import { explaining, inkOverlays, type Overlays } from './overlays.ts';
import { ScanView } from './ScanView.tsx';

interface Props {
  readonly work: Work;
  readonly findings: readonly TracedFinding[];
  /** One or two. */
  readonly shown: readonly WorkScan[];
  readonly chosen: TracedFinding | null;
  readonly details: Readonly<Record<string, RegionDetail>>;
  /** What else may stand in the scans' place: plots of the whole ink, the ink as a film. */
  readonly others: readonly OtherView[];
  readonly onChooseScan: (scan: string) => void;
  readonly onChooseRegion: (region: string) => void;
  readonly onChooseBand: (region: string, band: number) => void;
}

export interface OtherView {
  readonly name: string;
  /** Null: it is not open. */
  readonly content: ReactNode;
  readonly onOpen: () => void;
}

/** A flight takes less; while it lasts, the place of a view says little. */
const MOVE_MS = 1200;
/** A view's move takes 250 ms. */
const LINKED_MS = 320;

export function ScanPane(props: Props) {
  const { work, findings, chosen, details, others } = props;
  const other = others.find(({ content }) => content !== null)?.content ?? null;
  const shown = other === null ? props.shown : [];
  const [byHand, setByHand] = useState<Partial<Overlays>>({});
  const overlays = { ...explaining(chosen?.finding.quantity ?? null), ...byHand };
  const [link] = useState(() => new ViewLink());
  const [activeScan, setActiveScan] = useState<string | null>(null);
  const active = shown.find(({ id }) => id === activeScan) ?? shown[0];
  const handles = useRef(new Map<string, ViewHandle>());
  const flown = useRef({ aim: '', at: -Infinity });

  const chosenIds = chosen?.finding.subject.regions ?? [];
  const chosenRegions = work.regions.flatMap(({ region }) => (chosenIds.includes(region.id) ? [region] : []));
  const quantity = chosen?.finding.quantity ?? null;
  const ofEdges = quantity !== null && plotFor(quantity) === 'edge';
  const aim = `${shown.map(({ id }) => id).join()} ${chosenIds.join()} ${ofEdges ? quantity : ''}`;
  // A strip's profile is part of what is to be seen: the view waits until it knows how much room that takes.
  const ready = work.regions.every(
    ({ region: { id, kind }, measured }) =>
      !chosenIds.includes(id) || (kind !== 'strip' && !ofEdges) || measured === 'never' || details[id] !== undefined,
  );
  const fly = (): void => {
    if (flown.current.aim === aim || !ready || chosenRegions.length === 0) return;
    const views = shown.flatMap((scan) => {
      const place = handles.current.get(scan.id)?.place;
      if (!place) return [];
      return [
        {
          scan: scan.id,
          place,
          dpi: scan.dpi,
          box: boxOnScan(scan, chosenRegions, details, place, ofEdges ? quantity : null),
        },
      ];
    });
    if (views.length < shown.length) return;
    const stillMoving = performance.now() - flown.current.at < MOVE_MS;
    flown.current = { aim, at: performance.now() };
    aims(views, stillMoving).forEach((box, i) => {
      if (box === null) return;
      const go = (): void => {
        if (flown.current.aim === aim) handles.current.get(views[i].scan)?.show(box, true);
      };
      // The first takes the others' scale along as it goes; they come to their own places once that is done.
      if (i === 0) go();
      else setTimeout(go, LINKED_MS);
    });
  };
  const latestFly = useRef(fly);
  useEffect(() => {
    latestFly.current = fly;
    const timer = setTimeout(fly);
    return () => clearTimeout(timer);
  });

  useKeys('What is chosen', [
    {
      keys: 'f',
      does: 'show its region on the scan',
      run: () => {
        flown.current = { aim: '', at: performance.now() };
        fly();
      },
    },
  ]);
  // By what the ink has, not by what is chosen: a legend that changes its height would move the scan.
  const has = (kinds: readonly string[]): boolean => work.regions.some(({ region }) => kinds.includes(region.kind));
  const inked = has(['strokes', 'swab']);
  const strips = has(['strip']);
  return (
    <section className="findings-scans" aria-label="Scans">
      <fieldset className="findings-scan-choice" aria-label="Shown">
        {work.scans.map(({ id, paper }) => (
          <Button
            key={id}
            kind="plain"
            chosen={shown.some((scan) => scan.id === id)}
            onPress={() => props.onChooseScan(id)}
            aria-label={`Show scan “${id}”${paper === null ? '' : `, ${paper}`}`}
          >
            <span>{id}</span>
          </Button>
        ))}
        {others.map(({ name, content, onOpen }) => (
          <Button key={name} kind="plain" chosen={content !== null} onPress={onOpen}>
            {name}
          </Button>
        ))}
      </fieldset>
      {other !== null && <div className="findings-plots">{other}</div>}
      {other === null && (
        <div className="findings-views" data-stacked={isStacked(chosenRegions)}>
          {shown.map((scan) => (
            <div key={scan.id} className="findings-view">
              {scan.problem !== null && <Notice>{scan.problem}</Notice>}
              <ScanView
                {...{ work, findings, scan, link, chosen, details, overlays }}
                active={scan === active}
                onActive={() => setActiveScan(scan.id)}
                onHandle={(handle) => {
                  if (handle) handles.current.set(scan.id, handle);
                  else handles.current.delete(scan.id);
                }}
                // After the viewers have settled on a first scale of their own.
                onPlace={() => setTimeout(() => latestFly.current())}
                onChooseRegion={props.onChooseRegion}
                onChooseBand={props.onChooseBand}
              />
            </div>
          ))}
        </div>
      )}
      {other === null && (
        <OverlayLegend
          overlays={overlays}
          present={[
            'boxes',
            ...(inked ? inkOverlays(findings.map(({ finding }) => finding.quantity)) : []),
            ...(has(['reverse']) ? (['ghost', 'bleed', 'front'] as const) : []),
            ...(strips ? (['strips'] as const) : []),
          ]}
          onChange={(change) => setByHand({ ...byHand, ...change })}
        />
      )}
    </section>
  );
}

/** Lines of writing are wide: two of them stand better one over the other. */
function isStacked(regions: readonly SheetRegion[]): boolean {
  return regions.some(({ boxMm }) => boxMm !== undefined && boxMm[2] > boxMm[3]);
}
