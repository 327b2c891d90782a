import { useCallback, useMemo, useState } from 'react';
import { Group } from 'react-aria-components';
import { fixed } from '../../analysis/report/valueText.ts';
import type { RegionDetail, StripDetail, Work } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import type { Surface } from './paint.ts';
import { PlotFigure } from './PlotFigure.tsx';
import type { TableData } from './PlotTable.tsx';
import { type Along, hasRF, stripPlotData } from './stripData.ts';
import { CURVE_LEGEND, stripSvg } from './stripSvg.ts';

export interface StripPlotProps {
  readonly work: Work;
  readonly detail: RegionDetail;
  readonly title?: string;
  readonly level?: 2 | 3 | 4;
}

/** How dark a strip is along its run, in three parts of the spectrum. */
export function StripPlot({ work, detail, ...rest }: StripPlotProps) {
  return detail.strip ? <StripCurves work={work} region={detail.region} strip={detail.strip} {...rest} /> : null;
}

interface StripCurvesProps {
  readonly work: Work;
  readonly region: string;
  readonly strip: StripDetail;
  readonly title?: string;
  readonly level?: 2 | 3 | 4;
}

function StripCurves({ work, region, strip, title = `Strip “${region}”`, level }: StripCurvesProps) {
  const [along, setAlong] = useState<Along>('rF');
  const data = useMemo(() => stripPlotData(strip, along), [strip, along]);
  const build = useCallback((surface: Surface) => stripSvg(data, surface), [data]);
  return (
    <PlotFigure
      title={title}
      summary={stripSummary(strip, region)}
      table={stripTable(strip)}
      build={build}
      aspect={0.68}
      ink={work.ink.name}
      {...(level && { level })}
    >
      <ul className="plot-key plot-lines">
        {CURVE_LEGEND.map(({ name, stroke, dash }) => (
          <li key={name}>
            <svg width="34" height="10" aria-hidden="true">
              <rect width="34" height="10" fill="#e6e6e6" />
              <line x1="2" x2="32" y1="5" y2="5" stroke={stroke} strokeWidth="1.75" strokeDasharray={dash} />
            </svg>
            {name}
          </li>
        ))}
        <li>Marks are measured, lines fitted.</li>
      </ul>
      {hasRF(strip) && (
        <Group className="plot-axis" aria-label="Axis along the strip">
          <Button chosen={along === 'rF'} onPress={() => setAlong('rF')}>
            <span>
              by R<sub>F</sub>
            </span>
          </Button>
          <Button chosen={along === 'mm'} onPress={() => setAlong('mm')}>
            by mm
          </Button>
        </Group>
      )}
    </PlotFigure>
  );
}

export function stripSummary({ bands, originMm, frontMm }: StripDetail, region: string): string {
  const ends = originMm === null || frontMm === null ? ' without a known origin and front' : '';
  if (bands.length === 0) return `Absorbance along the strip “${region}”${ends}: no bands.`;
  const each = bands.map(({ band, rF, share, centreMm }) => {
    const where = rF === null ? `at ${fixed(centreMm, 1)} mm` : `at R_F ${fixed(rF, 2)}`;
    return `band ${band} ${where}${share === null ? '' : ` with ${fixed(share, 0)} %`}`;
  });
  return `Absorbance along the strip “${region}”${ends}: ${each.join('; ')}.`;
}

export function stripTable({ bands }: StripDetail): TableData {
  return {
    columns: ['band', 'R_F', 'centre, mm', 'share, %', 'L*', 'a*', 'b*'],
    rows: bands.map(({ band, rF, centreMm, share, lab }) => [
      String(band),
      rF === null ? '?' : fixed(rF, 3),
      fixed(centreMm, 1),
      share === null ? '?' : fixed(share, 1),
      ...lab.map((v) => fixed(v, 1)),
    ]),
  };
}
