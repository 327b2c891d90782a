import { useMemo, useState } from 'react';
import type { FindingsReport, RegionDetail, Work } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import { tonePairs } from '../opacity/toneData.ts';
import { ToneArrows } from '../opacity/ToneArrows.tsx';
import { AbPlane } from './AbPlane.tsx';
import { EdgePlot } from './EdgePlot.tsx';
import { LightnessPlot } from './LightnessPlot.tsx';
import { paperOf } from './regionPaper.ts';
import { StripPlot } from './StripPlot.tsx';
import './plots.css';

export interface PlotsProps {
  readonly work: Work;
  readonly findings: FindingsReport;
  readonly details: Readonly<Record<string, RegionDetail>>;
  /** The same, each region’s colours told the way of its finding. */
  readonly colours: Readonly<Record<string, RegionDetail>>;
  /** Heading level of each plot's title. @default 2 */
  readonly level?: 2 | 3 | 4;
}

/** The whole ink in plots: its colours in the plane, its lightness paper by paper, its strips. */
export function Plots({ work, findings, details, colours, level = 2 }: PlotsProps) {
  const [bands, setBands] = useState(false);
  const papers = useMemo(() => writtenOn(work), [work]);
  const pairs = useMemo(() => tonePairs(work, findings), [work, findings]);
  const strips = work.regions.flatMap(({ region }) => (details[region.id]?.strip ? [details[region.id]] : []));
  const hasBands = findings.findings.some(({ finding }) => finding.quantity === 'bandColour' && finding.value !== null);
  return (
    <div className="plots">
      <div className="plots-one">
        <AbPlane work={work} findings={findings} details={colours} bands={bands} level={level} />
        {hasBands && (
          <Button kind="plain" chosen={bands} onPress={() => setBands(!bands)}>
            {bands ? 'Leave out the strips’ bands' : 'Show the strips’ bands too'}
          </Button>
        )}
      </div>
      {papers
        .filter(({ ids }) => ids.length > 1)
        .map(({ paper, ids }) => (
          <div className="plots-one" key={paper ?? ''}>
            <AbPlane
              work={work}
              findings={findings}
              details={colours}
              only={ids}
              papers={false}
              level={level}
              title={paper === null ? 'From thin to thick' : `From thin to thick on “${paper}”`}
            />
          </div>
        ))}
      {pairs.map((pair) => (
        <div className="plots-one" key={pair.key}>
          <ToneArrows ink={work.ink.name} pair={pair} level={level} />
        </div>
      ))}
      {papers.map(({ paper, ids }) => (
        <div className="plots-one" key={paper ?? ''}>
          <LightnessPlot
            work={work}
            details={details}
            regions={ids}
            level={level}
            title={paper === null ? 'Lightness of the ink' : `Lightness of the ink on “${paper}”`}
          />
        </div>
      ))}
      {papers
        .filter(({ ids }) => ids.some((id) => details[id]?.edge?.profile))
        .map(({ paper, ids }) => (
          <div className="plots-one" key={paper ?? ''}>
            <EdgePlot
              work={work}
              details={details}
              regions={ids}
              level={level}
              title={paper === null ? 'Across the edge' : `Across the edge on “${paper}”`}
            />
          </div>
        ))}
      {strips.map((detail) => (
        <div className="plots-one" key={detail.region}>
          <StripPlot work={work} findings={findings} detail={detail} level={level} />
        </div>
      ))}
    </div>
  );
}

/** Writing by paper, in the sheet's order. */
function writtenOn(work: Work): readonly { readonly paper: string | null; readonly ids: readonly string[] }[] {
  const strokes = work.regions.filter(({ region }) => region.kind === 'strokes').map(({ region }) => region.id);
  const papers = [...new Set(strokes.map((id) => paperOf(work, id)))];
  return papers.map((paper) => ({ paper, ids: strokes.filter((id) => paperOf(work, id) === paper) }));
}
