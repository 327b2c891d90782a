/** One scan with what was measured where. */
import { useMemo } from 'react';
import type { RegionDetail, TracedFinding, Work, WorkScan } from '../../../electron/backend/api.ts';
import { ScanViewer, type ViewHandle } from '../../viewer/ScanViewer.tsx';
import type { ViewLink } from '../../viewer/viewLink.ts';
import type { ViewPlace } from '../../viewer/viewPlace.ts';
import type { ViewPointer, ViewTool } from '../../viewer/viewTool.ts';
import { EdgeMarks } from '../marks/EdgeMarks.tsx';
import { MarksLayer, useMarks } from '../marks/MarksLayer.tsx';
import { StripOverlay } from '../strip/StripOverlay.tsx';
import { ReverseMarks } from '../../opacity/ReverseMarks.tsx';
import { bandAt, profileSize } from '../strip/stripPlace.ts';
import { bandWords } from '../strip/bandWords.ts';
import { lineColourOn } from './lineColours.ts';
import { isOfReverse, type Overlays } from './overlays.ts';
import { RegionBoxes } from './RegionBoxes.tsx';
import { regionAt } from './regionBox.ts';

export interface ScanViewProps {
  readonly work: Work;
  readonly findings: readonly TracedFinding[];
  readonly scan: WorkScan;
  readonly link: ViewLink;
  readonly active: boolean;
  readonly onActive: () => void;
  readonly chosen: TracedFinding | null;
  readonly details: Readonly<Record<string, RegionDetail>>;
  readonly overlays: Overlays;
  readonly onHandle: (handle: ViewHandle | null) => void;
  readonly onPlace: () => void;
  readonly onChooseRegion: (region: string) => void;
  readonly onChooseBand: (region: string, band: number) => void;
}

const NONE: readonly string[] = [];

export function ScanView(props: ScanViewProps) {
  const { work, findings, scan, link, active, chosen, details, overlays } = props;
  const regions = useMemo(
    () => work.regions.flatMap(({ region }) => (region.scan === scan.id ? [region] : [])),
    [work.regions, scan.id],
  );
  const lineLab = useMemo(() => lineColourOn(scan.id, regions, findings), [scan.id, regions, findings]);
  const chosenIds = chosen?.finding.subject.regions ?? NONE;
  const band = chosen?.finding.subject.band ?? null;
  const { dpi } = scan;
  const strips = useMemo(
    () =>
      regions.flatMap(({ id }) => {
        const detail = details[id];
        return detail?.strip ? [{ detail, strip: detail.strip, words: bandWords(id, findings) }] : [];
      }),
    [regions, details, findings],
  );

  const hit = ({ scan: at, place }: ViewPointer): { region: string; band: number | null } | null => {
    if (dpi === null) return null;
    if (overlays.strips) {
      for (const { detail, strip } of strips) {
        const onStrip = bandAt(strip, detail.boxPx, dpi, place.pxPerScreen, sizeIn(place), [at[0], at[1]]);
        if (onStrip) return { region: detail.region, band: onStrip.band };
      }
    }
    const region = regionAt(regions, dpi, [at[0], at[1]]);
    return region && { region: region.id, band: null };
  };
  const tool: ViewTool = {
    click: (pointer) => {
      const found = hit(pointer);
      if (found?.band != null) props.onChooseBand(found.region, found.band);
      else if (found) props.onChooseRegion(found.region);
    },
    cursor: (pointer) => (hit(pointer) ? 'pointer' : ''),
  };
  // Only the chosen regions bear marks: all at once would hide the page under signs.
  const marked = regions.filter(({ id }) => chosenIds.includes(id));
  return (
    <ScanViewer
      ink={work.ink.id}
      scan={scan}
      label={`Scan “${scan.id}”`}
      link={link}
      active={active}
      onActive={props.onActive}
      onHandle={props.onHandle}
      onPlace={props.onPlace}
      tool={tool}
    >
      {(place) =>
        dpi !== null && (
          <>
            {marked.map(({ id }) => (
              <RegionMarks
                key={id}
                ink={work.ink.id}
                detail={details[id]}
                {...{ scan, place, overlays, lineLab, findings }}
              />
            ))}
            {marked.map(({ id }) => {
              const detail = details[id];
              if (!detail?.edge) return null;
              return (
                <EdgeMarks
                  key={id}
                  detail={detail}
                  edge={detail.edge}
                  shown={overlays}
                  lineLab={lineLab}
                  pxPerScreen={place.pxPerScreen}
                />
              );
            })}
            {overlays.boxes && (
              <RegionBoxes
                regions={regions}
                dpi={dpi}
                chosen={chosenIds}
                lineLab={lineLab}
                pxPerScreen={place.pxPerScreen}
              />
            )}
            {overlays.strips &&
              strips.map(({ detail, strip, words }) => (
                <StripOverlay
                  key={detail.region}
                  detail={detail}
                  strip={strip}
                  dpi={dpi}
                  pxPerScreen={place.pxPerScreen}
                  size={sizeIn(place)}
                  lineLab={lineLab}
                  bandWords={words}
                  chosenBand={chosenIds.includes(detail.region) ? band : null}
                />
              ))}
          </>
        )
      }
    </ScanViewer>
  );
}

const sizeIn = (place: ViewPlace) => profileSize(place.size.width);

interface RegionMarksProps {
  readonly ink: number;
  readonly scan: WorkScan;
  readonly detail: RegionDetail | undefined;
  readonly place: ViewPlace;
  readonly overlays: Overlays;
  readonly lineLab: readonly [number, number, number];
  readonly findings: readonly TracedFinding[];
}

function RegionMarks({ ink, scan, detail, place, overlays, lineLab, findings }: RegionMarksProps) {
  const region = detail?.marks ? detail.region : null;
  const version = findings.find(({ finding }) => finding.subject.regions.join() === region)?.trace.measuredAt ?? '';
  const raster = useMarks(ink, region, detail?.boxPx ?? null, version);
  if (raster === null) return null;
  const isReverse = findings.some(({ finding: f }) => isOfReverse(f.quantity) && f.subject.regions.join() === region);
  return (
    <>
      <MarksLayer raster={raster} place={place} shown={overlays} lineLab={lineLab} />
      {isReverse && (
        <ReverseMarks
          ink={ink}
          scan={scan}
          raster={raster}
          shown={overlays}
          dots={dotsTold(findings, region)}
          lineLab={lineLab}
          pxPerScreen={place.pxPerScreen}
        />
      )}
    </>
  );
}

/** Dots on the back, or on the sheet that lay under it; null: neither was told. */
function dotsTold(findings: readonly TracedFinding[], region: string | null): number | null {
  const found = findings.find(
    ({ finding: { quantity, subject } }) =>
      (quantity === 'bleedThrough.dots' || quantity === 'bleedThrough.next') && subject.regions.join() === region,
  );
  const value = found?.finding.value;
  return typeof value === 'number' ? value : null;
}
