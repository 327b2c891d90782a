/** A figure as text, for the eye and for the clipboard. */
import { fixed, withUncertainty } from '../../analysis/report/valueText.ts';
import type { LabValue, Unit } from '../../analysis/quantity.ts';

export interface FigureText {
  readonly value: string;
  /** With its ±; '' when there is nothing to say of it. */
  readonly u: string;
  /** '' for plain numbers. */
  readonly unit: string;
}

/** @param decimals of a number that follows a hand, so that it never jumps; absent: as many as its uncertainty supports */
export function figureText(
  value: number | LabValue | null,
  u: number | LabValue | null,
  unit: Unit,
  decimals?: number,
): FigureText {
  const name = unit === '1' || unit === 'dots' ? '' : unit;
  if (value === null) return { value: 'cannot be told', u: '', unit: '' };
  if (typeof value !== 'number') {
    const of = typeof u === 'number' || u === null ? null : u;
    return {
      value: value.map((v) => fixed(v, 1)).join(', '),
      u: of === null ? '± ?' : `± ${of.map((v) => fixed(2 * v, 1)).join(', ')}`,
      unit: name === 'Lab' ? 'L*a*b*' : name,
    };
  }
  if (decimals !== undefined) {
    const spread = typeof u === 'number' ? fixed(2 * u, decimals) : '?';
    return { value: fixed(value, decimals), u: `± ${spread}`, unit: name };
  }
  const [shown, spread = '?'] = withUncertainty(value, typeof u === 'number' ? u : null, unit).split(' ± ');
  return { value: shown, u: `± ${spread}`, unit: name };
}

/** Value, ± and unit as one: '3.21 ± 0.14 ΔE00'. */
export function copyText({ value, u, unit }: FigureText): string {
  return [value, u, unit].filter((part) => part !== '').join(' ');
}
