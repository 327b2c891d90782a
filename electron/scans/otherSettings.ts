/** Two scans that say themselves that they were not made alike. Resolution aside, which changes no colour. */
import type { ScanInfo } from './scanInfo.ts';
import type { ScannerIdentity } from './scannerIdentity.ts';

type Said = Pick<ScanInfo, 'bits' | 'iccHash' | 'scanner'>;

/**
 * Another profile, number of bits, scanner or software: any of them may go with another tone curve, and the target's then does not hold.
 * What only one of two files names tells nothing: many programs drop such names.
 */
export function otherSettings(target: Said, scan: Said): boolean {
  return (
    target.iccHash !== scan.iccHash ||
    target.bits !== scan.bits ||
    NAMES.some((name) => areTwo(target.scanner?.[name], scan.scanner?.[name]))
  );
}

/** A JPEG's values are made up from its blocks' waves: what it leaves out says nothing of a tone curve. */
export function keepsItsScale({ format, lossy }: Pick<ScanInfo, 'format' | 'lossy'>): boolean {
  return (format === 'tiff' || format === 'png') && lossy === undefined;
}

const NAMES = ['make', 'model', 'software'] as const satisfies readonly (keyof ScannerIdentity)[];

function areTwo(a: string | null | undefined, b: string | null | undefined): boolean {
  return typeof a === 'string' && typeof b === 'string' && a !== b;
}
