/** How a scan's device values become colours on the screen, in words. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { ScanColours } from '../backend/api.ts';
import type { Measuring } from '../jobs/measuring.ts';
import { statedWords } from '../scans/statedColours.ts';
import { coloursOf, type StandingScan } from './standing.ts';

export function scanColours(standing: StandingScan, measuring: Measuring): ScanColours {
  const { key, by } = coloursOf(standing, (k) => measuring.calibrationProblem(k) !== null);
  switch (by) {
    case 'calibration': {
      const made = measuring.madeCalibration(key)?.calibration;
      return { key, by, words: `colours through the calibration${made ? judged(made) : ', which is being made'}` };
    }
    case 'profile': {
      const { icc: name, stated } = standing.file?.info ?? {};
      const through = stated ? `${statedWords(stated)}, which the scan states` : 'the scan’s profile';
      const called = name ? ` “${name}”` : '';
      return {
        key,
        by,
        ...(stated && { stated: statedWords(stated) }),
        words: `not calibrated${why(standing, measuring)}: colours through ${through}${called}`,
      };
    }
    case 'assumed-srgb':
      return { key, by, words: `not calibrated${why(standing, measuring)}: colours as if the scan were sRGB` };
  }
}

function judged({ judgement, leftOutMedian }: Calibration): string {
  return leftOutMedian === null ? '' : ` (${judgement}, left out ${fixed(leftOutMedian, 1)} ΔE00)`;
}

function why({ target }: StandingScan, measuring: Measuring): string {
  return target && measuring.calibrationProblem(target.key) !== null
    ? ', since its target cannot be used'
    : ', since no target serves it';
}
