/** The words of verdicts are conventions, so their limits stand under the table that uses them. Pure. */
import type { Quantity } from '../../../analysis/quantity.ts';

/** 'none < 1 ≤ faint < 2.5 …' would need the words; the limits alone, as the sheet's own table gives them. '' without verdicts. */
export function limitWords(findings: readonly Quantity[]): string {
  const used = new Set(
    findings.flatMap(({ verdict, limits, value }) =>
      verdict !== undefined && value !== null && limits && limits.length > 0 ? [limits.join(', ')] : [],
    ),
  );
  if (used.size === 0) return '';
  const [only, ...more] = used;
  if (more.length === 0 && only === '1, 2.5, 5')
    return 'The words: none below 1, faint below 2.5, clear below 5, strong from 5 ΔE00 on';
  return `Limits between the words: ${[...used].join('; ')} ΔE00`;
}
