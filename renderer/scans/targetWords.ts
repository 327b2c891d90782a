/** How a target's place came to be known, and what an uncalibrated scan costs, in words. */
import { fixed } from '../../analysis/report/valueText.ts';
import type { TargetView, WorkScan } from '../../electron/backend/api.ts';

/** From here on a place needs no look; below 0.5 it was not sure at all. */
const SURE = 0.75;

export function locatedWords(located: TargetView['located']): string | null {
  if (!located) return null;
  const { by, score, words } = located;
  if (by === 'person') return 'Its four points are where you put them.';
  const found = `Found ${words}`;
  if (score >= SURE) return `${found}: sure.`;
  const look = 'See that every box lies within its patch; else place the corners yourself.';
  return score >= 0.5 ? `${found}: fairly sure. ${look}` : `${found}: not sure. ${look}`;
}

/** @param served ids of scans. @param serves 'all', or the one scan whose own the target is */
export function servesWords(serves: string, served: readonly string[]): string {
  if (serves !== 'all') return `It serves the scan “${serves}” alone.`;
  if (served.length === 0) return 'It serves no scan: each has a target of its own.';
  return `It serves all scans without one of their own: ${namesOf(served)}.`;
}

/** @param scans with the targets whose light this scan tells; at least one */
export function whiteSheetWords(scans: readonly string[]): string {
  return `This is the white sheet of the target on ${namesOf(scans)}: it tells how evenly the bed is lit.`;
}

/** The worst patches, which are crossed on the scan; empty: none is. */
export function crossedWords(worst: readonly { readonly id: string; readonly dE00LeftOut: number }[]): string {
  if (worst.length === 0) return '';
  const each = worst.map(({ id, dE00LeftOut }) => `${id} (${fixed(dE00LeftOut, 1)} ΔE00)`).join(', ');
  return worst.length === 1
    ? `Crossed on the scan: ${each}, the patch that a calibration without it tells worst.`
    : `Crossed on the scan: ${each}, the patches that a calibration without them tells worst.`;
}

/** Why no calibration serves a scan's colours, and what that costs. */
export function uncalibratedWords({ colours, icc }: Pick<WorkScan, 'colours' | 'icc'>): string {
  const stated = colours.stated === undefined ? null : `Its file has no profile, but states ${colours.stated}`;
  const profile = `Its colours come through the profile${icc === null ? '' : ` “${icc}”`} in its file`;
  const through =
    colours.by === 'profile'
      ? `${stated ?? profile}: what the scanner’s program says of scanners like yours.`
      : 'Its file has no profile that can be used, so its values are taken for sRGB, which no scanner’s are.';
  return `Not calibrated. ${through} Inks on this scan can be told apart, but their colours may be off by several ΔE00, and every finding says “uncalibrated”.`;
}

/** “a”, “b” and “c”. */
function namesOf(scans: readonly string[]): string {
  const names = scans.map((id) => `“${id}”`);
  return [names.slice(0, -1).join(', '), ...names.slice(-1)].filter((part) => part !== '').join(' and ');
}
