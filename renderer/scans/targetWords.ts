/** How a target's place came to be known, and what an uncalibrated scan costs, in words. */
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

/** Why no calibration serves a scan's colours, and what that costs. */
export function uncalibratedWords({ colours, icc }: Pick<WorkScan, 'colours' | 'icc'>): string {
  const through =
    colours.by === 'profile'
      ? `Its colours come through the profile${icc === null ? '' : ` “${icc}”`} in its file: what the scanner’s program says of scanners like yours.`
      : 'Its file has no profile that can be used, so its values are taken for sRGB, which no scanner’s are.';
  return `Not calibrated. ${through} Inks on this scan can be told apart, but their colours may be off by several ΔE00, and every finding says “uncalibrated”.`;
}
