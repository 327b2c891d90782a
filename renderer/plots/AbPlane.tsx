import { useCallback, useMemo } from 'react';
import { fixed } from '../../analysis/report/valueText.ts';
import { capital, listed } from '../../analysis/report/words.ts';
import type { FindingsReport, RegionDetail, Work } from '../../electron/backend/api.ts';
import { abPlaneData, type AbKind, type AbPlaneData } from './abPlaneData.ts';
import { abPlaneSvg } from './abPlaneSvg.ts';
import type { Surface } from './paint.ts';
import { leftOutNames } from './placeLabels.ts';
import { PlotFigure } from './PlotFigure.tsx';
import type { TableData } from './PlotTable.tsx';

export interface AbPlaneProps {
  readonly work: Work;
  readonly findings: FindingsReport;
  readonly details: Readonly<Record<string, RegionDetail>>;
  readonly bands?: boolean;
  /** Only these regions with their papers; absent: all. */
  readonly only?: readonly string[];
  /** Papers lie far from most inks: without them what the ink does is seen larger. @default true */
  readonly papers?: boolean;
  readonly title?: string;
  readonly level?: 2 | 3 | 4;
}

const KIND_WORDS: Readonly<Record<AbKind, readonly [one: string, many: string]>> = {
  paper: ['paper', 'papers'],
  nib: ['nib', 'nibs'],
  swab: ['swab', 'swabs'],
  band: ['band', 'bands'],
};

const MARKS: Readonly<Record<AbKind, string>> = {
  paper: 'squares',
  nib: 'discs',
  swab: 'triangles',
  band: 'diamonds',
};

/** Colours without their lightness: where they lie between green and red, blue and yellow. */
export function AbPlane({
  work,
  findings,
  details,
  bands = false,
  only,
  papers = true,
  title = 'Hue and chroma',
  level,
}: AbPlaneProps) {
  const data = useMemo(
    () => abPlaneData(work, findings, details, { bands, papers, ...(only && { only }) }),
    [work, findings, details, bands, papers, only],
  );
  const build = useCallback((surface: Surface) => abPlaneSvg(data, surface), [data]);
  if (data.points.length === 0) return null;
  return (
    <PlotFigure
      title={title}
      summary={abSummary(data)}
      table={abTable(data)}
      build={build}
      aspect={0.86}
      ink={work.ink.name}
      {...(level && { level })}
    >
      <p className="plot-key">{abKey(data)}</p>
    </PlotFigure>
  );
}

/** What the marks stand for, of those that are there. */
export function abKey({ points, paths }: AbPlaneData): string {
  const marks = (['paper', 'nib', 'swab', 'band'] as const)
    .filter((kind) => points.some((point) => point.kind === kind))
    .map((kind) => `${MARKS[kind]} are ${KIND_WORDS[kind][1]}`);
  const arrows = paths.some(({ kind }) => kind === 'nibs') ? 'Arrows lead from the thin nib to the thick one.' : '';
  const ends = paths.some(({ kind }) => kind === 'ends') ? 'Thick lines run from the light tenth to the dark one.' : '';
  const odd = points.some((point) => point.odd)
    ? 'What is struck out left the ink’s own path: another ink or contaminated?'
    : '';
  return [`${capital(listed(marks))}; thin rings are ± 2u.`, arrows, ends, odd, leftOutNames(points.length)]
    .filter((part) => part !== '')
    .join(' ');
}

export function abSummary({ points }: AbPlaneData): string {
  const kinds = (['paper', 'nib', 'swab', 'band'] as const).flatMap((kind) => {
    const count = points.filter((point) => point.kind === kind).length;
    return count === 0 ? [] : [`${count} ${KIND_WORDS[kind][count === 1 ? 0 : 1]}`];
  });
  const where = points.map(({ label, lab }) => `${label} at ${fixed(lab[1], 0)}, ${fixed(lab[2], 0)}`);
  return `The a*b* plane with ${listed(kinds)}: ${where.join('; ')}.`;
}

export function abTable({ points }: AbPlaneData): TableData {
  return {
    columns: ['what', 'kind', 'L*', 'a*', 'b*', '± 2u, L*', '± 2u, a*', '± 2u, b*'],
    rows: points.map(({ label, kind, lab, twoUL, twoUA, twoUB }) => [
      label,
      kind,
      ...lab.map((v) => fixed(v, 1)),
      ...[twoUL, twoUA, twoUB].map((v) => (v > 0 ? fixed(v, 1) : '?')),
    ]),
  };
}
