import { useCallback, useMemo } from 'react';
import type { RegionDetail, Work } from '../../electron/backend/api.ts';
import { Words } from '../reading/Words.tsx';
import { edgeCurves, edgeKey, edgeSummary, edgeTable } from './edgeData.ts';
import { edgeSvg } from './edgeSvg.ts';
import type { Surface } from './paint.ts';
import { PlotFigure } from './PlotFigure.tsx';

export interface EdgePlotProps {
  readonly work: Work;
  readonly details: Readonly<Record<string, RegionDetail>>;
  /** Regions to lay over each other. */
  readonly regions: readonly string[];
  readonly title?: string;
  readonly level?: 2 | 3 | 4;
}

/** How ink gives way to paper: the mean across all edges, with where the edge is put and what the scanner blurs. */
export function EdgePlot({ work, details, regions, title = 'Across the edge', level }: EdgePlotProps) {
  const curves = useMemo(() => edgeCurves(work, details, regions), [work, details, regions]);
  const build = useCallback((surface: Surface) => edgeSvg(curves, surface), [curves]);
  if (curves.length === 0) return null;
  return (
    <PlotFigure
      title={title}
      summary={edgeSummary(curves)}
      table={edgeTable(curves)}
      build={build}
      aspect={0.68}
      ink={work.ink.name}
      {...(level && { level })}
    >
      <p className="plot-key">
        <Words>{edgeKey(curves)}</Words>
      </p>
    </PlotFigure>
  );
}
