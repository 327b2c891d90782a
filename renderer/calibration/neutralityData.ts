/** How far the greys come out from their known a* and b*, dark to light. */
import { fixed } from '../../analysis/report/valueText.ts';
import type { ReportPatch } from '../../electron/backend/api.ts';
import type { TableData } from '../plots/PlotTable.tsx';
import { isLeftOut } from './patchOrder.ts';

export interface GreyDeparture {
  readonly id: string;
  /** Known. */
  readonly L: number;
  /** Fitted less known. */
  readonly da: number;
  readonly db: number;
}

/** Of the fit as it is used; clipped and covered greys left out. */
export function greyDepartures(patches: readonly ReportPatch[]): readonly GreyDeparture[] {
  return patches
    .filter((patch) => patch.grey && !isLeftOut(patch))
    .map(({ id, reference, fitted }) => ({
      id,
      L: reference[0],
      da: fitted[1] - reference[1],
      db: fitted[2] - reference[2],
    }))
    .toSorted((p, q) => p.L - q.L);
}

/** The axis reaches as far either way: at least 1, so that the noise of good greys stays small. */
export function departureReach(greys: readonly GreyDeparture[]): number {
  const most = Math.max(1, ...greys.flatMap(({ da, db }) => [Math.abs(da), Math.abs(db)]));
  return Math.ceil(most * 1.1 * 2) / 2;
}

export function neutralitySummary(greys: readonly GreyDeparture[]): string {
  const worst = greys.reduce((w, g) => (Math.hypot(g.da, g.db) > Math.hypot(w.da, w.db) ? g : w), greys[0]);
  return (
    `How far ${greys.length} greys come out from their known a* and b*, by L*. Furthest: ${worst.id} at L* ` +
    `${fixed(worst.L, 0)} with Δa* ${fixed(worst.da, 2)} and Δb* ${fixed(worst.db, 2)}.`
  );
}

export function neutralityTable(greys: readonly GreyDeparture[]): TableData {
  return {
    columns: ['grey', 'L*', 'Δa*', 'Δb*', 'ΔC*'],
    rows: greys.map(({ id, L, da, db }) => [id, fixed(L, 1), fixed(da, 2), fixed(db, 2), fixed(Math.hypot(da, db), 2)]),
  };
}
