/** One figure of an edge as a quantity, told or missing. */
import type { Flag, Quantity, QuantityName, Subject, Unit } from '../../quantity.ts';
import type { RegionInput } from '../region.ts';
import type { combine } from '../uncertainty.ts';

export const EDGE_METHODS = {
  lineWidth: 'lineWidth/18',
  spread: 'spread/17',
  raggedness: 'raggedness/16',
  feathering: 'feathering/17',
  edgeBlur: 'edgeBlur/16',
  halo: 'halo/18',
} as const;

/** A scan's scale is taken to be right to so much; common practice, no source. */
export const SCALE = 0.001;

export interface EdgeSetting {
  readonly input: RegionInput;
  readonly subject: Subject;
  readonly nibWidthMm: number | null;
  readonly pxPerMm: number;
  /** Sigma of the scanner, px; null when not known. */
  readonly scannerSigmaPx: number | null;
  readonly flags: readonly Flag[];
}

export function missing(
  name: QuantityName,
  unit: Unit,
  flags: readonly Flag[],
  subject: Subject,
  method: string,
): Quantity {
  return { quantity: name, subject, value: null, unit, u: null, flags: [...new Set(flags)], method };
}

export function quantity(
  name: QuantityName,
  value: number,
  unit: Unit,
  u: ReturnType<typeof combine>,
  { subject, flags }: EdgeSetting,
  method: string,
): Quantity {
  return { quantity: name, subject, value, unit, ...u, flags, method };
}
