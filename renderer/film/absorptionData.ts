/** What the plot of k(λ) shows. */
import type { Quantity } from '../../analysis/quantity.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { FilmOfInk } from '../../electron/backend/filmAnswer.ts';
import type { TableData } from '../plots/PlotTable.tsx';

export interface AbsorptionData {
  readonly curve: readonly AbsorptionAt[];
  /** Where the ink absorbs most, nm, with the standard uncertainty that a finding gives it. */
  readonly peak: { readonly nm: number; readonly u: number | null } | null;
  readonly fromNm: number;
  readonly toNm: number;
}

export interface AbsorptionAt {
  readonly nm: number;
  readonly k: number;
  /** k − 2u, not below 0. */
  readonly low: number;
  /** k + 2u. */
  readonly high: number;
}

/** @param finding 'absorption' of the same fit; absent: the peak's place goes without its ±. */
export function absorptionData(
  { absorption: { nm, k, u } }: Pick<FilmOfInk, 'absorption'>,
  finding?: Pick<Quantity, 'value' | 'u'>,
): AbsorptionData {
  const curve = nm.map((at, i) => ({
    nm: at,
    k: k[i],
    low: Math.max(0, k[i] - 2 * u[i]),
    high: k[i] + 2 * u[i],
  }));
  const strongest = curve.reduce<AbsorptionAt | null>(
    (best, one) => (best === null || one.k > best.k ? one : best),
    null,
  );
  const told = typeof finding?.value === 'number' ? finding.value : null;
  const peak = told ?? strongest?.nm ?? null;
  return {
    curve,
    peak: peak === null ? null : { nm: peak, u: told !== null && typeof finding?.u === 'number' ? finding.u : null },
    fromNm: nm[0] ?? 380,
    toNm: nm[nm.length - 1] ?? 730,
  };
}

/** '592 ± 6 nm' */
export function peakText({ nm, u }: NonNullable<AbsorptionData['peak']>): string {
  return u === null ? `${fixed(nm, 0)} nm` : `${fixed(nm, 0)} ± ${fixed(2 * u, 0)} nm`;
}

export function absorptionSummary({ curve, peak, fromNm, toNm }: AbsorptionData): string {
  if (peak === null) return 'The ink’s absorption: no curve.';
  const half = curve.filter(({ k }) => k >= 0.5);
  const breadth =
    half.length < 2
      ? ''
      : ` It absorbs half as much or more from ${fixed(half[0].nm, 0)} to ${fixed(half[half.length - 1].nm, 0)} nm.`;
  return `The ink’s absorption from ${fixed(fromNm, 0)} to ${fixed(toNm, 0)} nm, strongest at ${peakText(peak)}.${breadth}`;
}

export function absorptionTable({ curve }: AbsorptionData): TableData {
  return {
    columns: ['nm', 'k', '± 2u, k'],
    rows: curve.map(({ nm, k, high }) => [fixed(nm, 0), fixed(k, 4), fixed(high - k, 4)]),
  };
}
