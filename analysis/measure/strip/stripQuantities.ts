/** A measured strip as quantities. */
import type { Flag, LabValue, Quantity, QuantityName, Subject, Unit } from '../../quantity.ts';
import { uncertaintyOf, union, type Band, type Told } from './strip.ts';
import { labD50 } from '../../colour/lab.ts';
import { spokenName } from '../../colour/spokenName.ts';

/** Bumped whenever the same strip would give another number. */
export const STRIP_METHODS = {
  bandPosition: 'bandPosition/5',
  'bandPosition.centroid': 'bandPosition.centroid/5',
  bandWidth: 'bandWidth/5',
  bandTail: 'bandTail/5',
  bandColour: 'bandColour/6',
  bandShare: 'bandShare/6',
  bandResolution: 'bandResolution/5',
  originRetained: 'originRetained/7',
} as const satisfies Partial<Record<QuantityName, string>>;
type StripQuantity = keyof typeof STRIP_METHODS;

const UNITS: Record<StripQuantity, Unit> = {
  bandPosition: '1',
  'bandPosition.centroid': '1',
  bandWidth: 'mm',
  bandTail: '1',
  bandColour: 'Lab',
  bandShare: '%',
  bandResolution: '1',
  originRetained: '%',
};

/** What each band is asked for; a strip without bands answers these with null. */
const OF_A_BAND = ['bandPosition', 'bandColour', 'bandShare'] as const;

/** @param flags of the whole strip: they taint every number. @param lostEnds why R_F cannot be told, if so. */
export function stripQuantities(
  id: string,
  bands: readonly Band[],
  originRetained: Told | null,
  flags: readonly Flag[],
  lostEnds: readonly Flag[],
): Quantity[] {
  const strip: Subject = { regions: [id] };
  if (bands.length === 0) {
    const nothing: Flag[] = [...flags, ...lostEnds, 'no-bands'];
    const empty = OF_A_BAND.map((quantity) => untold(quantity, strip, nothing));
    return [
      ...empty,
      originRetained === null
        ? untold('originRetained', strip, nothing)
        : number('originRetained', strip, originRetained, flags),
    ];
  }
  const origin =
    originRetained === null
      ? untold('originRetained', strip, [...flags, ...lostEnds])
      : number('originRetained', strip, originRetained, flags);
  return [...bands.flatMap((band) => bandQuantities(id, band, flags, lostEnds)), origin];
}

function bandQuantities(id: string, band: Band, stripFlags: readonly Flag[], lostEnds: readonly Flag[]): Quantity[] {
  const subject: Subject = { regions: [id], band: band.number };
  const flags = union(stripFlags, band.flags);
  const lost = union(flags, lostEnds);
  const place = (quantity: StripQuantity, t: Told | null): Quantity =>
    t === null ? untold(quantity, subject, lost) : number(quantity, subject, t, flags);
  const found: Quantity[] = [
    place('bandPosition', band.rF),
    place('bandPosition.centroid', band.centroid),
    number('bandWidth', subject, band.widthMm, flags),
    number('bandTail', subject, band.tail, flags),
    colour(subject, band, flags),
    number('bandShare', subject, band.sharePercent, flags),
  ];
  return band.resolution === null ? found : [...found, number('bandResolution', subject, band.resolution, flags)];
}

function number(quantity: StripQuantity, subject: Subject, t: Told, flags: readonly Flag[]): Quantity {
  return {
    quantity,
    subject,
    value: t.value,
    unit: UNITS[quantity],
    u: uncertaintyOf(t),
    uParts: t.parts,
    flags: union(flags),
    method: STRIP_METHODS[quantity],
  };
}

function colour(subject: Subject, band: Band, flags: readonly Flag[]): Quantity {
  const { repeatability, calibration, placement } = band.colourParts;
  const whole = (k: number): number => Math.hypot(repeatability[k], calibration[k], placement[k]);
  const u: LabValue = [whole(0), whole(1), whole(2)];
  return {
    quantity: 'bandColour',
    subject,
    value: band.colour,
    unit: 'Lab',
    u,
    uParts: band.colourParts,
    verdict: spokenName(labD50(...band.colour), u),
    flags: union(flags),
    method: STRIP_METHODS.bandColour,
  };
}

function untold(quantity: StripQuantity, subject: Subject, flags: readonly Flag[]): Quantity {
  return {
    quantity,
    subject,
    value: null,
    unit: UNITS[quantity],
    u: null,
    flags: union(flags),
    method: STRIP_METHODS[quantity],
  };
}
