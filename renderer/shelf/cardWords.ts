/** What a card says of an ink. */
import type { InkCard } from '../../electron/backend/api.ts';

/** '4 scans, 12 regions, 38 findings'; what there is none of is left out, after the scans. */
export function contentsWords({ scans, regions, findings }: Pick<InkCard, 'scans' | 'regions' | 'findings'>): string {
  const counted = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;
  if (scans === 0) return 'no scans yet';
  return [
    counted(scans, 'scan'),
    regions === 0 ? 'no regions yet' : counted(regions, 'region'),
    ...(findings > 0 ? [counted(findings, 'finding')] : []),
  ].join(', ');
}

/** 'changed on 25 Nov 2026'. @param iso ISO 8601 */
export function changedWords(iso: string): string {
  const day = dayWords(iso);
  return day === '' ? '' : `changed on ${day}`;
}

/** '25 Nov 2026'; '' of no date. @param iso ISO 8601 */
export function dayWords(iso: string): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return '';
  return date.toLocaleDateString('en-GB', { day: 'numeric', month: 'short', year: 'numeric' });
}

/** At most this many squares fit a card; the outermost, palest and darkest, always stay. */
export function spreadPick<T>(all: readonly T[], most: number): readonly T[] {
  if (all.length <= most) return all;
  return Array.from({ length: most }, (_, i) => all[Math.round((i * (all.length - 1)) / (most - 1))]);
}
