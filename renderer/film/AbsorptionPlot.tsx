import { useCallback, useMemo } from 'react';
import type { Quantity } from '../../analysis/quantity.ts';
import type { FilmOfInk } from '../../electron/backend/filmAnswer.ts';
import type { Surface } from '../plots/paint.ts';
import { PlotFigure } from '../plots/PlotFigure.tsx';
import { absorptionData, absorptionSummary, absorptionTable } from './absorptionData.ts';
import { absorptionSvg } from './absorptionSvg.ts';

export interface AbsorptionPlotProps {
  readonly ink: string;
  readonly fit: FilmOfInk;
  /** 'absorption' of this fit, for the peak's ±. */
  readonly finding?: Pick<Quantity, 'value' | 'u'> | undefined;
  readonly level?: 2 | 3 | 4;
}

/** k(λ): what the ink takes out of the light, wavelength by wavelength. */
export function AbsorptionPlot({ ink, fit, finding, level = 3 }: AbsorptionPlotProps) {
  const data = useMemo(() => absorptionData(fit, finding), [fit, finding]);
  const build = useCallback((surface: Surface) => absorptionSvg(data, surface), [data]);
  return (
    <PlotFigure
      title="Absorption of the ink"
      summary={absorptionSummary(data)}
      table={absorptionTable(data)}
      build={build}
      aspect={0.6}
      ink={ink}
      level={level}
    >
      <p className="plot-key">
        The grey band is ± 2u. The strip shows roughly where the colours of the spectrum lie; no screen can show them.
      </p>
    </PlotFigure>
  );
}
