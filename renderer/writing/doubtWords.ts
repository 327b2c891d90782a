import type { Flag, Quantity } from '../../analysis/quantity.ts';

/** What a page of findings must not be shown without, on the screen or on paper; '' where its colours can be trusted. */
export function doubtWords(findings: readonly Pick<Quantity, 'flags'>[]): string {
  const has = (flag: Flag): boolean => findings.some(({ flags }) => flags.includes(flag));
  if (has('uncalibrated')) return 'No target serves some of these scans: differences are of use, colours are rough.';
  if (has('poor-calibration'))
    return 'The calibration is poor: colours and their names may be wrong. Its report card says more.';
  return '';
}
