/** What a scan's device values are read as when no target says better: its embedded profile, else what it states itself, else sRGB. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { fitTable } from '../../analysis/calibrate/tableFit.ts';
import { hasSoundWhite, iccMatrix } from './iccMatrix.ts';
import { openImage } from './openImage.ts';
import { withProfile } from './littleCms.ts';
import type { ScanInfo } from './scanInfo.ts';
import { type StatedColours, statedWords, throughStated } from './statedColours.ts';

export interface Uncalibrated {
  /** Its judgement is 'none'; every number made with it carries the flag 'uncalibrated'. */
  readonly calibration: Calibration;
  readonly by: 'profile' | 'assumed-srgb';
  /** To be read after "read …". */
  readonly words: string;
}

/** Of profiles; a curve or two each. */
const MOST_KNOWN = 50;
const known = new Map<string, Promise<Uncalibrated>>();

/** Worked out once a profile, however many scans carry it; never rejects: a scan whose profile cannot be read is read as sRGB. */
export function uncalibratedBy(info: ScanInfo): Promise<Uncalibrated> {
  if (info.stated) return Promise.resolve(asStated(info.stated));
  if (info.iccUnusable) return Promise.resolve(asSrgb('its profile is damaged or not one for RGB'));
  if (info.iccHash === null) return Promise.resolve(asSrgb('it carries no profile'));
  const before = known.get(info.iccHash);
  if (before) return before;
  const made = fromProfile(info);
  known.set(info.iccHash, made);
  for (const oldest of [...known.keys()].slice(0, -MOST_KNOWN)) known.delete(oldest);
  return made;
}

async function fromProfile({ file, icc, iccHash }: ScanInfo): Promise<Uncalibrated> {
  const profile = await embedded(file);
  const calibration = profile && (await profileCalibration(profile));
  if (!calibration) {
    // A file that could not be read now may be there again.
    if (profile === null && iccHash !== null) known.delete(iccHash);
    return asSrgb('its profile is damaged or not one for RGB');
  }
  const name = icc === null || icc === 'embedded' ? '' : ` “${icc}”`;
  return { calibration, by: 'profile', words: `through its embedded profile${name}` };
}

/**
 * null: it leads to no colours. A profile of curves and a matrix that is no scanner's own (a display's, a space to work in) only says what
 * the scanner's software claims to have made: it is exact and 'nominal', as sRGB is, and doubted as much.
 */
export async function profileCalibration(icc: Uint8Array): Promise<Calibration | null> {
  const exact = iccMatrix(icc);
  if (exact) {
    if (!hasSoundWhite(exact)) return null;
    const { curves, matrix, ofScanner } = exact;
    return { ...nominalCalibration, model: ofScanner ? 'linear' : 'nominal', curves, matrix };
  }
  return await withProfile(icc, fitTable);
}

function asStated(stated: StatedColours): Uncalibrated {
  return {
    calibration: throughStated(stated),
    by: 'profile',
    words: `through ${statedWords(stated)}, which it states`,
  };
}

function asSrgb(why: string): Uncalibrated {
  return { calibration: nominalCalibration, by: 'assumed-srgb', words: `as if it were sRGB, since ${why}` };
}

async function embedded(file: string): Promise<Uint8Array | null> {
  try {
    return (await (await openImage(file)).metadata()).icc ?? null;
  } catch {
    return null;
  }
}
