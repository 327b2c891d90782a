/**
 * What most likely mends a target that could not be used, by the refusal's code (analysis/calibrate/calibrationError.ts,
 * electron/jobs/locateTarget.ts, electron/jobs/whyNotFound.ts).
 */

export type Mending = 'other-files' | 'no-white-sheet' | 'resolution' | 'corners';

const OTHER_FILES = ['other-target', 'other-layout', 'patches-unknown', 'too-few-patches', 'too-few-greys'];
const OTHER_WHITE = ['white-not-bare', 'white-clipped'];
/** Those that may lie at the points, however these came. Corners on a mirrored target would put every patch in another's place. */
const POINTS = [
  'target-not-found',
  'target-unsure',
  'targets-two',
  'points-order',
  'points-outside',
  'patches-outside-scan',
  'no-range',
  'covered',
];

/** @returns null when only another scan does, or nothing that is done to the target: its file is gone, the program is away */
export function mendingOf(code: string, isByHand: boolean): Mending | null {
  if (code === 'other-dpi') return 'resolution';
  if (OTHER_WHITE.includes(code)) return 'no-white-sheet';
  if (POINTS.includes(code)) return 'corners';
  // Of points that a person set, those are the first to look at; too close to each other, they make patches small.
  if (OTHER_FILES.includes(code)) return isByHand ? 'corners' : 'other-files';
  return code === 'patches-too-small' && isByHand ? 'corners' : null;
}
