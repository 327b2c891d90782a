/** A strip's dyes along a strip, as a plot and in words. */
import { useCallback, useMemo } from 'react';
import { fixed } from '../../analysis/report/valueText.ts';
import type { TracedFinding, Work } from '../../electron/backend/api.ts';
import type { DyesAlong } from '../../electron/backend/stripAnswers.ts';
import { cssLab } from '../look/Swatch.tsx';
import { Notice } from '../look/Notice.tsx';
import type { Surface } from '../plots/paint.ts';
import { PlotFigure } from '../plots/PlotFigure.tsx';
import type { TableData } from '../plots/PlotTable.tsx';
import { dashOf, dyesAlongData, type DyesAlongData, dyesAlongSvg } from './dyesAlongSvg.ts';
import { dyeName } from './dyeNames.ts';

export interface DyesAlongProps {
  readonly work: Work;
  readonly answer: DyesAlong;
  readonly findings: readonly TracedFinding[];
}

export function DyesAlongStrip({ work, answer, findings }: DyesAlongProps) {
  const data = useMemo(() => dyesAlongData(answer), [answer]);
  const build = useCallback((surface: Surface) => dyesAlongSvg(data, surface), [data]);
  const strange = strangePlaces(answer);
  return (
    <>
      {!answer.sameCalibration && (
        <Notice kind="word">
          The two strips came through different calibrations. Their dyes are told by the scanner’s channels all the
          same: take the amounts as a hint.
        </Notice>
      )}
      <PlotFigure
        title={`Dyes of “${answer.of}” along “${answer.over}”`}
        summary={alongSummary(answer, data)}
        table={alongTable(data)}
        build={build}
        aspect={0.42}
        ink={work.ink.name}
      >
        <ul className="plot-key plot-lines">
          {answer.dyes.map(({ band, lab }, i) => (
            <li key={band}>
              <svg width="34" height="10" aria-hidden="true">
                <rect width="34" height="10" fill="#e6e6e6" />
                <path d="M2 5H32" stroke="#1c1c1c" strokeWidth="4" strokeDasharray={dashOf(i)} />
                <path d="M2 5H32" stroke={cssLab(lab)} strokeWidth="2.4" strokeDasharray={dashOf(i)} />
              </svg>
              {dyeName(answer.of, band, findings)}
            </li>
          ))}
          <li>Pale areas: ± two standard uncertainties.</li>
        </ul>
      </PlotFigure>
      {strange !== '' && <p>{strange}</p>}
    </>
  );
}

/** Where no sum of these dyes makes the colour; '' where all is explained. */
export function strangePlaces({ placesMm, misfit, dyes }: Pick<DyesAlong, 'placesMm' | 'misfit' | 'dyes'>): string {
  const odd = misfit.filter((v) => v > 2).length;
  const share = odd / Math.max(1, placesMm.length);
  if (share < 0.02) return '';
  const percent = Math.max(1, Math.round(100 * share));
  return `Over ${percent} % of the strip ${dyes.length === 1 ? 'this dye does' : 'these dyes do'} not make the colour that is there: another dye, or one that shows otherwise on this paper.`;
}

function alongSummary({ of, over }: DyesAlong, { along, dyes }: DyesAlongData): string {
  const each = dyes.map(({ band, points }) => {
    const top = points.reduce((best, point) => (point.amount > best.amount ? point : best), points[0]);
    const where = along === 'rF' ? `R_F ${fixed(top.at, 2)}` : `${fixed(top.at, 1)} mm`;
    return `that of band ${band} is densest at ${where} with ${fixed(top.amount, 2)}`;
  });
  return `Amounts of the dyes of “${of}” along “${over}”: ${each.join('; ')}.`;
}

/** A line for every twentieth of the way. */
function alongTable({ along, dyes }: DyesAlongData): TableData {
  const points = dyes[0]?.points ?? [];
  const step = Math.max(1, Math.round(points.length / 40));
  return {
    columns: [
      along === 'rF' ? 'R_F' : 'mm',
      ...dyes.flatMap(({ band }) => [`dye of band ${band}`, `± dye of band ${band}`]),
    ],
    rows: points.flatMap(({ at }, i) =>
      i % step === 0
        ? [
            [
              fixed(at, along === 'rF' ? 3 : 1),
              ...dyes.flatMap(({ points: of }) => [fixed(of[i].amount, 3), fixed(of[i].high - of[i].amount, 3)]),
            ],
          ]
        : [],
    ),
  };
}
