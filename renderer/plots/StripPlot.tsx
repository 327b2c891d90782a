import { useCallback, useMemo, useState } from 'react';
import { Group } from 'react-aria-components';
import type { LabValue, Quantity, QuantityName } from '../../analysis/quantity.ts';
import { fixed, withUncertainty } from '../../analysis/report/valueText.ts';
import type { FindingsReport, RegionDetail, StripDetail, TracedFinding, Work } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import type { Surface } from './paint.ts';
import { PlotFigure } from './PlotFigure.tsx';
import type { TableData } from './PlotTable.tsx';
import { type Along, hasRF, stripPlotData } from './stripData.ts';
import { CURVE_LEGEND, stripSvg } from './stripSvg.ts';

export interface StripPlotProps {
  readonly work: Work;
  readonly findings: FindingsReport;
  readonly detail: RegionDetail;
  readonly title?: string;
  readonly level?: 2 | 3 | 4;
}

/** How dark a strip is along its run, in three parts of the spectrum. */
export function StripPlot({ work, findings, detail, ...rest }: StripPlotProps) {
  return detail.strip ? (
    <StripCurves work={work} findings={findings} region={detail.region} strip={detail.strip} {...rest} />
  ) : null;
}

interface StripCurvesProps {
  readonly work: Work;
  readonly findings: FindingsReport;
  readonly region: string;
  readonly strip: StripDetail;
  readonly title?: string;
  readonly level?: 2 | 3 | 4;
}

function StripCurves({ work, findings, region, strip, title = `Strip “${region}”`, level }: StripCurvesProps) {
  const [along, setAlong] = useState<Along>('rF');
  const data = useMemo(() => stripPlotData(strip, along), [strip, along]);
  const build = useCallback((surface: Surface) => stripSvg(data, surface), [data]);
  return (
    <PlotFigure
      title={title}
      summary={stripSummary(strip, region)}
      table={stripTable(region, strip, findings.findings)}
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

/** @param findings of the ink: what is told of each band, with ± 2u; a band that none tells keeps its fitted figures without. */
export function stripTable(region: string, { bands }: StripDetail, findings: readonly TracedFinding[]): TableData {
  const told = (quantity: QuantityName, band: number): Partial<Pick<Quantity, 'value' | 'u'>> =>
    findings.find(
      ({ finding: { quantity: q, subject } }) =>
        q === quantity && subject.band === band && subject.regions[0] === region,
    )?.finding ?? {};
  return {
    columns: [
      'band',
      'R_F',
      '± 2u, R_F',
      'centre, mm',
      'share, %',
      '± 2u, share',
      'L*',
      'a*',
      'b*',
      '± 2u, L*',
      '± 2u, a*',
      '± 2u, b*',
    ],
    rows: bands.map(({ band, rF, centreMm, share, lab }) => {
      const { value, u } = told('bandColour', band);
      return [
        String(band),
        ...withSpread(told('bandPosition', band), rF === null ? '?' : fixed(rF, 3)),
        fixed(centreMm, 1),
        ...withSpread(told('bandShare', band), share === null ? '?' : fixed(share, 1)),
        ...(isLab(value) ? value : lab).map((v) => fixed(v, 1)),
        ...[0, 1, 2].map((i) => (isLab(u) ? fixed(2 * u[i], 1) : '?')),
      ];
    }),
  };
}

/** A figure and its ± 2u. */
function withSpread({ value, u }: Partial<Pick<Quantity, 'value' | 'u'>>, fitted: string): readonly [string, string] {
  if (typeof value !== 'number' || typeof u !== 'number') return [fitted, '?'];
  const [figure, spread] = withUncertainty(value, u).split(' ± ');
  return [figure, spread ?? '?'];
}

function isLab(value: Quantity['value'] | undefined): value is LabValue {
  return Array.isArray(value);
}
