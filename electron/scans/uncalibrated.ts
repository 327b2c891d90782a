/** What a scan's device values are read as when no target says better: its embedded profile, else sRGB. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import type { ScanInfo } from './scanInfo.ts';

export interface Uncalibrated {
  /** Its judgement is 'none'; every number made with it carries the flag 'uncalibrated'. */
  readonly calibration: Calibration;
  readonly by: 'profile' | 'assumed-srgb';
  /** To be read after "read …". */
  readonly words: string;
}

export async function uncalibratedBy(_info: ScanInfo): Promise<Uncalibrated> {
  return Promise.resolve({ calibration: nominalCalibration, by: 'assumed-srgb', words: 'as if the scan were sRGB' });
}
