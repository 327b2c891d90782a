import { useCallback, useMemo } from 'react';
import { fixed } from '../../analysis/report/valueText.ts';
import type { RegionDetail, Work } from '../../electron/backend/api.ts';
import { lightnessCurves, type LightnessCurve } from './lightnessData.ts';
import { lightnessSvg } from './lightnessSvg.ts';
import type { Surface } from './paint.ts';
import { PlotFigure } from './PlotFigure.tsx';
import type { TableData } from './PlotTable.tsx';

export interface LightnessPlotProps {
  readonly work: Work;
  readonly details: Readonly<Record<string, RegionDetail>>;
  /** Regions to lay over each other. */
  readonly regions: readonly string[];
  readonly title?: string;
  readonly level?: 2 | 3 | 4;
}

/** How much of the ink is how light, with the dark and the light tenth marked. */
export function LightnessPlot({ work, details, regions, title = 'Lightness of the ink', level }: LightnessPlotProps) {
  const curves = useMemo(() => lightnessCurves(work, details, regions), [work, details, regions]);
  const build = useCallback((surface: Surface) => lightnessSvg(curves, surface), [curves]);
  if (curves.length === 0) return null;
  return (
    <PlotFigure
      title={title}
      summary={lightnessSummary(curves)}
      table={lightnessTable(curves)}
      build={build}
      aspect={0.62}
      ink={work.ink.name}
      {...(level && { level })}
    >
      <p className="plot-key">Triangles mark the dark and the light tenth.</p>
    </PlotFigure>
  );
}

export function lightnessSummary(curves: readonly LightnessCurve[]): string {
  const each = curves.map(
    ({ label, dark, light }) =>
      `${label} from ${fixed(dark[0], 1)} in its dark tenth to ${fixed(light[0], 1)} in its light tenth`,
  );
  return `Distributions of L*: ${each.join('; ')}.`;
}

export function lightnessTable(curves: readonly LightnessCurve[]): TableData {
  return {
    columns: [
      'what',
      ...['L* mean', 'L* dark tenth', 'L* light tenth'].flatMap((column) => [column, `± 2u, ${column}`]),
    ],
    rows: curves.map(({ label, lab, dark, light, doubt }) => [
      label,
      ...[
        { of: lab, u: doubt.ink },
        { of: dark, u: doubt.dark },
        { of: light, u: doubt.light },
      ].flatMap(({ of, u }) => [fixed(of[0], 1), u ? fixed(2 * u[0], 1) : '?']),
    ]),
  };
}
