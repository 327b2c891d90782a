import type { Quantity } from '../../analysis/quantity.ts';
import type { RegionDetail, Work } from '../../electron/backend/api.ts';
import type { Beside } from '../film/oneWay.ts';
import { tonePairs } from '../opacity/toneData.ts';
import { ToneArrows } from '../opacity/ToneArrows.tsx';
import { AbPlane } from '../plots/AbPlane.tsx';
import { EdgePlot } from '../plots/EdgePlot.tsx';
import { LightnessPlot } from '../plots/LightnessPlot.tsx';
import { paperOf } from '../plots/regionPaper.ts';
import { StripPlot } from '../plots/StripPlot.tsx';
import { plotFor } from './plotFor.ts';

export interface SmallPlotProps {
  readonly finding: Quantity;
  readonly work: Work;
  readonly details: Readonly<Record<string, RegionDetail>>;
  /** The same with colours told the way of the finding. */
  readonly beside: Beside;
}

/** The plot that explains a finding; nothing when none would. */
export function SmallPlot({ finding, work, details, beside }: SmallPlotProps) {
  const { regions } = finding.subject;
  const kind = plotFor(finding.quantity);
  if (kind === 'lightness') return <LightnessPlot work={work} details={details} regions={regions} />;
  if (kind === 'edge') return <EdgePlot work={work} details={details} regions={regions} />;
  if (finding.quantity === 'pathDistance') {
    return (
      <AbPlane
        work={work}
        findings={beside.report}
        details={beside.details}
        only={alongside(work, regions[0])}
        papers={false}
        title="From thin to thick"
      />
    );
  }
  if (kind === 'tone') {
    return tonePairs(work, beside.report, regions).map((pair) => (
      <ToneArrows
        key={pair.key}
        ink={work.ink.name}
        pair={pair}
        seen={finding.quantity === 'toneShift.adapted' ? 'adapted' : 'absolute'}
      />
    ));
  }
  if (kind === 'plane') return <AbPlane work={work} findings={beside.report} details={beside.details} only={regions} />;
  if (kind === 'strip') {
    return regions.flatMap((id) => {
      const detail = details[id];
      return detail ? [<StripPlot key={id} work={work} findings={beside.report} detail={detail} />] : [];
    });
  }
  return null;
}

/** All lines and swabs on this region's paper: a path is theirs together. */
function alongside(work: Work, region: string): readonly string[] {
  const paper = paperOf(work, region);
  return work.regions.flatMap(({ region: { id, kind } }) =>
    id === region || ((kind === 'strokes' || kind === 'swab') && paperOf(work, id) === paper) ? [id] : [],
  );
}
