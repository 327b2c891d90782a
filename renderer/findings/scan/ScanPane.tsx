/** The scan that the chosen finding lies on, or both when it lies on two: at one scale, with a legend of their marks. */
import { useEffect, useRef, useState } from 'react';
import type { RegionDetail, TracedFinding, Work, WorkScan } from '../../../electron/backend/api.ts';
import { Button } from '../../look/Button.tsx';
import { Notice } from '../../look/Notice.tsx';
import { useKeys } from '../../look/useKeys.ts';
import type { ViewHandle } from '../../viewer/ScanViewer.tsx';
import { ViewLink } from '../../viewer/viewLink.ts';
import { aims, boxOnScan } from './flight.ts';
import { OverlayLegend } from './OverlayLegend.tsx';
import { type Overlays, ScanView } from './ScanView.tsx';

interface Props {
  readonly work: Work;
  readonly findings: readonly TracedFinding[];
  /** One or two. */
  readonly shown: readonly WorkScan[];
  readonly chosen: TracedFinding | null;
  readonly details: Readonly<Record<string, RegionDetail>>;
  readonly onChooseScan: (scan: string) => void;
  readonly onChooseRegion: (region: string) => void;
  readonly onChooseBand: (region: string, band: number) => void;
}

const ALL: Overlays = { boxes: true, counted: true, dark: true, light: true, doubleLayer: true, strips: true };
const INK = ['counted', 'dark', 'light', 'doubleLayer'] as const;

export function ScanPane(props: Props) {
  const { work, findings, shown, chosen, details } = props;
  const [overlays, setOverlays] = useState(ALL);
  const [link] = useState(() => new ViewLink());
  const [activeScan, setActiveScan] = useState<string | null>(null);
  const active = shown.find(({ id }) => id === activeScan) ?? shown[0];
  const handles = useRef(new Map<string, ViewHandle>());
  const flown = useRef('');

  const chosenIds = chosen?.finding.subject.regions ?? [];
  const chosenRegions = work.regions.flatMap(({ region }) => (chosenIds.includes(region.id) ? [region] : []));
  // A strip's profile is part of what is to be seen: once it is there the view makes room for it.
  const aim = `${shown.map(({ id }) => id).join()} ${chosenRegions.map(({ id }) => `${id}${details[id]?.strip ? '+' : ''}`).join()}`;
  const fly = (): void => {
    if (flown.current === aim || chosenRegions.length === 0) return;
    const views = shown.flatMap((scan) => {
      const handle = handles.current.get(scan.id);
      const place = handle?.place;
      if (!handle || !place) return [];
      return [{ handle, place, dpi: scan.dpi, box: boxOnScan(scan, chosenRegions, details, place) }];
    });
    if (views.length < shown.length) return;
    flown.current = aim;
    aims(views).forEach((box, i) => box !== null && views[i].handle.show(box, true));
  };
  useEffect(fly);

  useKeys('Scan in view', [{ keys: 'f', does: 'show the chosen region', run: () => ((flown.current = ''), fly()) }]);
  const strips = work.regions.some(
    ({ region }) => region.kind === 'strip' && shown.some(({ id }) => id === region.scan),
  );
  const inked = chosenRegions.some(({ id }) => details[id]?.marks);
  return (
    <section className="findings-scans" aria-label="Scans">
      <fieldset className="findings-scan-choice" aria-label="Scan shown">
        {work.scans.map(({ id, paper }) => (
          <Button
            key={id}
            kind="plain"
            chosen={shown.some((scan) => scan.id === id)}
            onPress={() => props.onChooseScan(id)}
            aria-label={`Show scan “${id}”${paper === null ? '' : `, ${paper}`}`}
          >
            {id}
          </Button>
        ))}
      </fieldset>
      <div className="findings-views" data-count={shown.length}>
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
              onPlace={fly}
              onChooseRegion={props.onChooseRegion}
              onChooseBand={props.onChooseBand}
            />
          </div>
        ))}
      </div>
      <OverlayLegend
        overlays={overlays}
        present={['boxes', ...(inked ? INK : []), ...(strips ? (['strips'] as const) : [])]}
        onChange={setOverlays}
      />
    </section>
  );
}
