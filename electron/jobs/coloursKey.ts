/** The name of a calibration before it is made: by all that it will be made from. */
import type { DocumentTarget } from '../library/document.ts';
import { contentKey } from './contentKey.ts';
import { TASK_VERSIONS } from './methodVersions.ts';

/** Enough of a SHA-256 to be told apart for ever, short enough for an address. */
const DIGITS = 24;

/** Begins with 'c', so that it is never taken for a profile's key. */
/** @param whiteHash of the white sheet's scan; null: none */
export function calibrationKey(
  target: DocumentTarget,
  scanHash: string,
  dpi: number,
  whiteHash: string | null,
): string {
  const { layout, reference, pointsMm } = target;
  const made = {
    version: TASK_VERSIONS.calibrate,
    scanHash,
    dpi,
    layout,
    reference,
    pointsMm: pointsMm ?? null,
    whiteHash,
  };
  return `c${contentKey(made).slice(0, DIGITS)}`;
}

export function profileKey(profileHash: string): string {
  return `p${profileHash.slice(0, DIGITS)}`;
}

export const ASSUMED_SRGB_KEY = 's';
