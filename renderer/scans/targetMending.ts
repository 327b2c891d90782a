/** What most likely mends a target that could not be used, by the refusal's code (analysis/calibrate/calibrationError.ts, electron/jobs/locateTarget.ts). */

export type Mending = 'other-files' | 'no-white-sheet' | 'corners';

const OTHER_FILES = ['other-target', 'other-layout', 'patches-unknown', 'too-few-patches', 'too-few-greys'];
const OTHER_WHITE = ['white-not-bare', 'white-clipped'];

/** @returns null when only another scan does */
export function mendingOf(code: string, isByHand: boolean): Mending | null {
  // Corners on a mirrored target would put every patch in another's place.
  if (code === 'target-mirrored') return null;
  // Of points that a person set, those are the first to look at.
  if (OTHER_FILES.includes(code) && !isByHand) return 'other-files';
  return OTHER_WHITE.includes(code) ? 'no-white-sheet' : 'corners';
}
