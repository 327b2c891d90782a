/** How many patches are missed by how much: left out, and with the fit that saw them. */
import { fixed } from '../../analysis/report/valueText.ts';
import type { CalibrationReport } from '../../electron/backend/api.ts';
import type { TableData } from '../plots/PlotTable.tsx';
import { isLeftOut } from './patchOrder.ts';

export interface ResidualBin {
  readonly from: number;
  readonly to: number;
  readonly leftOut: number;
  readonly fitted: number;
}

export interface ResidualData {
  readonly bins: readonly ResidualBin[];
  readonly median: number | null;
  readonly p95: number | null;
}

const WIDTHS = [0.1, 0.2, 0.25, 0.5, 1, 2, 5, 10] as const;
const MOST_BINS = 24;

export function residualData(report: Pick<CalibrationReport, 'patches' | 'leftOutMedian' | 'leftOut95'>): ResidualData {
  const patches = report.patches.filter((patch) => !isLeftOut(patch));
  const most = Math.max(0.5, ...patches.flatMap((p) => [p.dE00LeftOut, p.dE00Fitted]));
  const width = WIDTHS.find((w) => most / w <= MOST_BINS) ?? most / MOST_BINS;
  const bins = Array.from({ length: Math.floor(most / width + 1e-9) + 1 }, (_, i) => {
    // Counted by index: sums of 0.1 would miss their edges.
    const holds = (dE: number): boolean => Math.floor(dE / width + 1e-9) === i;
    return {
      from: i * width,
      to: (i + 1) * width,
      leftOut: patches.filter((p) => holds(p.dE00LeftOut)).length,
      fitted: patches.filter((p) => holds(p.dE00Fitted)).length,
    };
  });
  return { bins, median: report.leftOutMedian, p95: report.leftOut95 };
}

export function residualSummary({ bins, median, p95 }: ResidualData): string {
  const count = bins.reduce((sum, { leftOut }) => sum + leftOut, 0);
  const told =
    median === null || p95 === null
      ? ''
      : `: half of them by less than ${fixed(median, 2)} ΔE00, 95 % by less than ${fixed(p95, 2)}`;
  return `How far ${count} patches are missed by a fit that never saw them${told}.`;
}

export function residualTable({ bins }: ResidualData): TableData {
  return {
    columns: ['ΔE00', 'patches, left out', 'patches, fitted'],
    rows: bins.map(({ from, to, leftOut, fitted }) => [
      `${fixed(from, 2)} to ${fixed(to, 2)}`,
      String(leftOut),
      String(fitted),
    ]),
  };
}
