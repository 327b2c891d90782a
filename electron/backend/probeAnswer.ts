/** What lies under a disc of a scan: GET /api/inks/:ink/scans/:scan/probe?x=&y=&radius= (px of the scan). */
import type { SharedDoubt } from '../../analysis/calibrate/sharedDoubt.ts';
import type { Flag, LabValue } from '../../analysis/quantity.ts';
import type { ScanColours } from './api.ts';

export interface Probe {
  readonly xPx: number;
  readonly yPx: number;
  readonly radiusPx: number;
  readonly pixels: number;
  readonly bits: 8 | 16;
  /** As scanned: mean over the disc, in the file's own scale. */
  readonly device: readonly [number, number, number];
  readonly lab: LabValue;
  /** Standard uncertainty of the disc’s colour, per component; a large one without a calibration. */
  readonly u: LabValue | null;
  /** The part of it that is noise, which no two places share. */
  readonly noise: LabValue;
  /** What the calibration leaves open of differences to other places with the same `key`. */
  readonly shared: SharedDoubt;
  /** ISCC–NBS name. */
  readonly name: string;
  /** Through which calibration or profile: the scan's ScanColours. */
  readonly colours: ScanColours['by'];
  readonly key: string;
  readonly flags: readonly Flag[];
}
