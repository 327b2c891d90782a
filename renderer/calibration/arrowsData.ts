/** From where to where each patch's colour goes in the a*b* plane: known → measured. */
import { quantile } from '../../analysis/quantile.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { ReportPatch } from '../../electron/backend/api.ts';
import type { TableData } from '../plots/PlotTable.tsx';
import { worstOf } from './patchOrder.ts';

export interface Arrow {
  readonly id: string;
  /** The known colour. */
  readonly from: LabValue;
  /** The measured one as it is drawn: `times` as far off as it is. */
  readonly to: LabValue;
  readonly named: boolean;
}

export interface ArrowsData {
  readonly arrows: readonly Arrow[];
  /** How many times as long as they are. */
  readonly times: number;
}

const TIMES = [20, 10, 5, 2, 1] as const;
/** All but the longest twentieth stay within this share of the plane's span, or they would hide each other. */
const LONGEST = 0.12;

export function arrowsData(patches: readonly ReportPatch[]): ArrowsData {
  const lengths = patches.map((p) => Math.hypot(p.leftOut[1] - p.reference[1], p.leftOut[2] - p.reference[2]));
  const long = lengths.length === 0 ? 0 : quantile(lengths, 0.95);
  const spans = ([1, 2] as const).map((axis) => {
    const values = patches.map((p) => p.reference[axis]);
    return values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
  });
  const span = Math.max(20, ...spans);
  const times = TIMES.find((t) => t * long <= LONGEST * span) ?? 1;
  const named = new Set(worstOf(patches).map(({ id }) => id));
  return {
    times,
    arrows: patches.map(({ id, reference, leftOut }) => ({
      id,
      from: reference,
      to: [
        leftOut[0],
        reference[1] + times * (leftOut[1] - reference[1]),
        reference[2] + times * (leftOut[2] - reference[2]),
      ],
      named: named.has(id),
    })),
  };
}

export function arrowsKey({ times }: ArrowsData): string {
  const long = times === 1 ? '' : ` Drawn ${times} times as long as they are.`;
  return `Arrows lead from the known colour to the one told by a fit that never saw the patch.${long}`;
}

export function arrowsSummary(patches: readonly ReportPatch[]): string {
  const worst = worstOf(patches).map(({ id, dE00LeftOut }) => `${id} by ${fixed(dE00LeftOut, 1)} ΔE00`);
  return `The a*b* plane with an arrow for each of ${patches.length} patches, known to measured. Furthest off: ${worst.join(', ')}.`;
}

export function arrowsTable(patches: readonly ReportPatch[]): TableData {
  return {
    columns: ['patch', 'a*', 'b*', 'Δa*', 'Δb*'],
    rows: patches.map(({ id, reference, leftOut }) => [
      id,
      ...[reference[1], reference[2], leftOut[1] - reference[1], leftOut[2] - reference[2]].map((v) => fixed(v, 1)),
    ]),
  };
}
