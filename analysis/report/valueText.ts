/** Numbers as people write them: as many digits as the uncertainty supports, and ± 2u beside them. */
import type { Unit } from '../quantity.ts';

/** Decimals that show two significant digits of an uncertainty, 0 to 4. */
function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0)) return 3;
  return Math.min(4, Math.max(0, 1 - Math.floor(Math.log10(uncertainty))));
}

/** `12.34`, with a real minus sign and never `-0`. */
export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

/** `3.21 ± 0.14`: the value and twice its standard uncertainty; of what is counted whole ones, `4 ± 1`. @param u null: not known */
export function withUncertainty(value: number, u: number | null, unit?: Unit): string {
  if (unit === 'dots') return `${fixed(value, 0)} ± ${u === null ? '?' : fixed(Math.ceil(2 * u), 0)}`;
  if (u === null) return `${fixed(value, 2)} ± ?`;
  const decimals = decimalsFor(2 * u);
  return `${fixed(value, decimals)} ± ${fixed(2 * u, decimals)}`;
}

/** Two decimals, or '?' for what is not known. */
export function twoDecimals(value: number | null): string {
  return value === null ? '?' : fixed(value, 2);
}
