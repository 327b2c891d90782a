/** What sentences of all families share: a finding whose value is there, verdicts, and signs in words. */
import type { LabValue, Quantity, Unit } from '../quantity.ts';
import type { Names } from './names.ts';
import { amountText } from './titles.ts';

/** A finding with a single number, ready to be told. */
export interface Told {
  readonly finding: Quantity;
  readonly names: Names;
  readonly ids: readonly string[];
  readonly value: number;
  readonly u: number | null;
  /** Value and ± 2u with the unit. */
  readonly amount: string;
  /** The same without its sign, for 'darker by'. */
  readonly size: string;
  /** Zero lies within ± 2u: no direction can be told. */
  readonly swallowed: boolean;
}

/** A finding with a colour. */
export interface ToldColour {
  readonly finding: Quantity;
  readonly names: Names;
  readonly ids: readonly string[];
  readonly lab: LabValue;
  /** L*, a*, b* with their ±. */
  readonly amount: string;
}

export function told(finding: Quantity, names: Names, value: number): Told {
  const u = typeof finding.u === 'number' ? finding.u : null;
  return {
    finding,
    names,
    ids: finding.subject.regions,
    value,
    u,
    amount: amountText(value, u, finding.unit),
    size: amountText(Math.abs(value), u, finding.unit),
    swallowed: Math.abs(value) <= 2 * (u ?? 0),
  };
}

/** The same number with another unit's name, for instance 'percentage points' for '%'. */
export function sizeIn({ value, u }: Told, words: string, unit: Unit = '1'): string {
  return `${amountText(Math.abs(value), u, unit)} ${words}`;
}

/** ': clear', ': none to speak of', or why no word fits; '' when the finding carries no word. */
export function verdictClause({ verdict }: Quantity): string {
  if (verdict === undefined) return '';
  if (verdict === 'none') return ': none to speak of';
  if (verdict === 'cannot tell') return ': cannot tell how much that is, the uncertainty is wider than the word allows';
  return `: ${verdict}`;
}
