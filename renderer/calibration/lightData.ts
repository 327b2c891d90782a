/** The light over the bed, channel by channel. */
import { fixed } from '../../analysis/report/valueText.ts';
import type { ReportLight } from '../../electron/backend/api.ts';
import type { TableData } from '../plots/PlotTable.tsx';

export const CHANNELS = ['red', 'green', 'blue'] as const;

export interface LightCell {
  readonly channel: (typeof CHANNELS)[number];
  readonly column: number;
  readonly row: number;
  readonly percent: number;
}

export function lightCells({ grid }: ReportLight): readonly LightCell[] {
  return CHANNELS.flatMap((channel, c) =>
    grid.percent[c].map((percent, i) => ({
      channel,
      column: i % grid.columns,
      row: Math.floor(i / grid.columns),
      percent,
    })),
  );
}

/** `+0.3`, `−0.3`, `0.0`: what is nothing when rounded has no sign. */
export function percentText(percent: number): string {
  const text = fixed(percent, 1);
  return Number(text) > 0 ? `+${text}` : text;
}

/** Largest departure of any place, %: what black and white stand for. */
export function lightReach(cells: readonly LightCell[]): number {
  return Math.max(0.5, ...cells.map(({ percent }) => Math.abs(percent)));
}

export function lightSummary({ rangePercent }: ReportLight): string {
  const each = CHANNELS.map((channel, c) => `${fixed(rangePercent[c], 1)} % in ${channel}`);
  return `The light over the scan, from its darkest to its lightest place: ${each.join(', ')}.`;
}

export function lightTable({ grid }: ReportLight): TableData {
  return {
    columns: ['place', ...CHANNELS.map((channel) => `${channel}, %`)],
    rows: grid.percent[0].map((_, i) => [
      `${fixed((100 * (i % grid.columns)) / (grid.columns - 1), 0)} % across, ${fixed((100 * Math.floor(i / grid.columns)) / (grid.rows - 1), 0)} % down`,
      ...grid.percent.map((values) => fixed(values[i], 2)),
    ]),
  };
}
