/** The report in plots: where colours go, how neutral greys are, how many patches miss by how much, how even the light is. */
import { useCallback, useMemo } from 'react';
import type { CalibrationReport } from '../../electron/backend/api.ts';
import type { Surface } from '../plots/paint.ts';
import { PlotFigure } from '../plots/PlotFigure.tsx';
import { arrowsData, arrowsKey, arrowsSummary, arrowsTable } from './arrowsData.ts';
import { arrowsSvg } from './arrowsSvg.ts';
import { lightSummary, lightTable } from './lightData.ts';
import { lightSvg } from './lightSvg.ts';
import { greyDepartures, neutralitySummary, neutralityTable } from './neutralityData.ts';
import { neutralitySvg } from './neutralitySvg.ts';
import { residualData, residualSummary, residualTable } from './residualData.ts';
import { residualSvg } from './residualSvg.ts';

export interface CardPlotsProps {
  /** The ink's name, for the files. */
  readonly ink: string;
  readonly report: CalibrationReport;
}

export function CardPlots({ ink, report }: CardPlotsProps) {
  return (
    <section className="card-plots" aria-label="Plots">
      <Arrows ink={ink} report={report} />
      <Neutrality ink={ink} report={report} />
      <Residuals ink={ink} report={report} />
      <Light ink={ink} report={report} />
    </section>
  );
}

function Arrows({ ink, report: { patches } }: CardPlotsProps) {
  const data = useMemo(() => arrowsData(patches), [patches]);
  const build = useCallback((surface: Surface) => arrowsSvg(data, surface), [data]);
  if (patches.length === 0) return null;
  return (
    <PlotFigure
      title="Where colours go"
      summary={arrowsSummary(patches)}
      table={arrowsTable(patches)}
      build={build}
      level={2}
      ink={ink}
    >
      <p className="plot-key">{arrowsKey(data)}</p>
    </PlotFigure>
  );
}

function Neutrality({ ink, report: { patches } }: CardPlotsProps) {
  const greys = useMemo(() => greyDepartures(patches), [patches]);
  const build = useCallback((surface: Surface) => neutralitySvg(greys, surface), [greys]);
  if (greys.length === 0) return null;
  return (
    <PlotFigure
      title="Neutrality of the greys"
      summary={neutralitySummary(greys)}
      table={neutralityTable(greys)}
      build={build}
      level={2}
      ink={ink}
    >
      <p className="plot-key">Discs: Δa*, to red above. Squares, dashed: Δb*, to yellow above.</p>
    </PlotFigure>
  );
}

function Residuals({ ink, report }: CardPlotsProps) {
  const data = useMemo(() => residualData(report), [report]);
  const build = useCallback((surface: Surface) => residualSvg(data, surface), [data]);
  if (report.patches.length === 0) return null;
  return (
    <PlotFigure
      title="How many miss by how much"
      summary={residualSummary(data)}
      table={residualTable(data)}
      build={build}
      level={2}
      ink={ink}
    >
      <p className="plot-key">Bars: left out. Dashed: with the fit that saw them.</p>
    </PlotFigure>
  );
}

function Light({ ink, report: { light } }: CardPlotsProps) {
  const build = useCallback(
    (surface: Surface) => (light ? lightSvg(light, surface) : surface.document.createElement('span')),
    [light],
  );
  if (!light) return null;
  return (
    <PlotFigure
      title="Light over the scan"
      summary={lightSummary(light)}
      table={lightTable(light)}
      build={build}
      level={2}
      ink={ink}
    >
      <p className="plot-key">Per cent above or below the middle, by channel; the contrast is stretched.</p>
    </PlotFigure>
  );
}
