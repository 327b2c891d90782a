/** A fresh run against a dried one: what drying changed for each dye, and what it fixed to the paper. */
import { chroma, hueDeg, hueDifferenceDeg } from '../../colour/lab.ts';
import type { Flag, Quantity, QuantityName, Subject, Unit } from '../../quantity.ts';
import { pairUp } from './matchBands.ts';
import { uncertaintyOf, union, type Band, type StripMeasure, type Told } from './strip.ts';

/** They count on with the strips' own methods (stripQuantities.ts): what those say anew, their differences do too. */
export const RUN_SHIFT_METHODS = {
  runShift: 'runShift/3',
  'runShift.share': 'runShift.share/4',
  'runShift.originRetained': 'runShift.originRetained/4',
  'runShift.front': 'runShift.front/2',
} as const satisfies Partial<Record<QuantityName, string>>;
type RunQuantity = keyof typeof RUN_SHIFT_METHODS;

/** Bands are one dye by hue first, then by place: a turn of 40° costs as much as a step of 0.25 in R_F. */
const HUE_STEP_DEG = 40;
const PLACE_STEP = 0.25;
/** Below this chroma a hue says little. */
const GREY_CHROMA = 8;
/** Leaving two bands unmatched costs as much as a pair that differs by this many steps. */
const UNMATCHED = 0.75;

/** Subject regions: [fresh, dried]; `band` is the fresh band's number. Differences are dried minus fresh. */
export function runShift(fresh: StripMeasure, dried: StripMeasure): Quantity[] {
  const subject: Subject = { regions: [fresh.id, dried.id] };
  const stripFlags = union(tainting(fresh.flags), tainting(dried.flags));
  const pairs = pairUp(
    fresh.bands.map((f) => dried.bands.map((d) => unlikeness(f, d))),
    dried.bands.length,
    UNMATCHED,
  );
  const ofBands = fresh.bands.flatMap((band, i): Quantity[] => {
    const partner = pairs[i] === null ? null : dried.bands[pairs[i]];
    const own = { ...subject, band: band.number };
    if (partner === null) {
      const flags = union(stripFlags, band.flags, ['unmatched']);
      return [untold('runShift', own, '1', flags), untold('runShift.share', own, '%', flags)];
    }
    const flags = union(stripFlags, band.flags, partner.flags);
    return [
      change('runShift', own, '1', band.rF, partner.rF, flags),
      change('runShift.share', own, '%', band.sharePercent, partner.sharePercent, flags),
    ];
  });
  const nothing: Quantity[] =
    fresh.bands.length === 0 ? [untold('runShift', subject, '1', union(stripFlags, ['no-bands']))] : [];
  const leftOver = dried.bands.length - pairs.filter((p) => p !== null).length;
  const whole = leftOver > 0 ? union(stripFlags, ['unmatched']) : stripFlags;
  return [
    ...ofBands,
    ...nothing,
    change('runShift.originRetained', subject, '%', fresh.originRetained, dried.originRetained, whole),
    change('runShift.front', subject, 'mm', fresh.frontDistance, dried.frontDistance, stripFlags),
  ];
}

function unlikeness(a: Band, b: Band): number {
  const grey = Math.min(chroma(a.colour), chroma(b.colour)) < GREY_CHROMA;
  const turn = Math.abs(hueDifferenceDeg(hueDeg(a.colour), hueDeg(b.colour)));
  // A grey against a colour is as unlike as a quarter turn.
  const bothGrey = Math.max(chroma(a.colour), chroma(b.colour)) < GREY_CHROMA;
  const hue = bothGrey
    ? 0
    : grey
      ? Math.min(1, Math.abs(chroma(a.colour) - chroma(b.colour)) / 20)
      : turn / HUE_STEP_DEG;
  const step = a.rF === null || b.rF === null ? 0 : Math.abs(a.rF.value - b.rF.value) / PLACE_STEP;
  return Math.hypot(hue, step);
}

function change(
  quantity: RunQuantity,
  subject: Subject,
  unit: Unit,
  fresh: Told | null,
  dried: Told | null,
  flags: readonly Flag[],
): Quantity {
  if (fresh === null || dried === null) return untold(quantity, subject, unit, union(flags, ['cannot-tell']));
  const part = (name: 'repeatability' | 'calibration' | 'placement'): number =>
    Math.hypot(fresh.parts[name], dried.parts[name]);
  return {
    quantity,
    subject,
    value: dried.value - fresh.value,
    unit,
    u: Math.hypot(uncertaintyOf(fresh), uncertaintyOf(dried)),
    uParts: { repeatability: part('repeatability'), calibration: part('calibration'), placement: part('placement') },
    flags: [...flags],
    method: RUN_SHIFT_METHODS[quantity],
  };
}

function untold(quantity: RunQuantity, subject: Subject, unit: Unit, flags: readonly Flag[]): Quantity {
  return { quantity, subject, value: null, unit, u: null, flags: [...flags], method: RUN_SHIFT_METHODS[quantity] };
}

/** 'no-bands' of one strip is said where it matters. */
function tainting(flags: readonly Flag[]): Flag[] {
  return flags.filter((f) => f !== 'no-bands');
}
