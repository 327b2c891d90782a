/** The words of verdicts are conventions, so their limits stand under the table that uses them. Pure. */
import type { Quantity } from '../../../analysis/quantity.ts';
import { QUANTITY_TITLES, unitMark } from '../../../analysis/report/titles.ts';

/** 'none < 1 ≤ faint < 2.5 …' would need the words; the limits alone, as the sheet's own table gives them. '' without verdicts. */
export function limitWords(findings: readonly Quantity[]): string {
  const used = findings.flatMap(({ quantity, verdict, limits, value, unit }) =>
    verdict !== undefined && value !== null && limits && limits.length > 0
      ? [{ of: QUANTITY_TITLES[quantity], limits: `${limits.join(', ')} ${unitMark(unit)}`.trim() }]
      : [],
  );
  const each = new Map<string, string[]>();
  for (const { of, limits } of used) {
    const known = each.get(limits) ?? [];
    each.set(limits, known.includes(of) ? known : [...known, of]);
  }
  if (each.size === 0) return '';
  const only = [...each.keys()];
  if (only.length === 1) {
    if (only[0] === '1, 2.5, 5 ΔE00')
      return 'The words: none below 1, faint below 2.5, clear below 5, strong from 5 ΔE00 on';
    return `Limits between the words: ${only[0]}`;
  }
  const parts = [...each].map(([limits, titles]) => `${titles.join(' and ').toLowerCase()} ${limits}`);
  return `Limits between the words: ${parts.join('; ')}`;
}
