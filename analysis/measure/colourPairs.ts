/** Two regions of the same ink held against each other: two nibs on one paper, one nib on two papers. */
import { differenceBetweenScans, differenceUncertainty } from '../calibrate/uncertainty.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, chroma, hueDeg, hueDifferenceDeg, labD50, xyzToLabWhite } from '../colour/lab.ts';
import type { Flag, LabValue, Quantity, Subject } from '../quantity.ts';
import type { MeasuredInk } from './ink.ts';
import { combine } from './uncertainty.ts';
import { SHADING_LIMITS, verdict } from './verdict.ts';
import { triple } from '../triple.ts';

export const PAIR_METHODS = { nibShading: 'nibShading/7', toneShift: 'toneShift/7' } as const;

type Calibrations = readonly [of: Calibration, ofOther?: Calibration];

/** Flags that make a difference worthless or tainted when either side carries them. */
function union(a: readonly Flag[], b: readonly Flag[]): Flag[] {
  return [...new Set([...a, ...b])];
}

/** One side of a comparison, whichever way its colour was told. */
export interface ComparedInk extends Pick<MeasuredInk, 'region' | 'placement' | 'light' | 'flags'> {
  readonly lab: LabD50;
  /** CIELAB with the ink's own paper as the white. */
  readonly own: LabD50;
  /** Of Lab, from the scatter between blocks, 3 × 3 row-major. */
  readonly covariance: readonly number[];
}

/** @param calibrations of a's scan and of b's: one and the same for most */
export function nibShading(a: MeasuredInk, b: MeasuredInk, ...calibrations: Calibrations): Quantity {
  return nibShadingOf(mapped(a), mapped(b), {
    calibration: calibrationPart(a, b, calibrations, 'one paper'),
    twoLights: isTwo(calibrations),
    method: PAIR_METHODS.nibShading,
  });
}

/**
 * @param pale The ink on the paler paper; it comes first, and differences are other minus pale.
 * @param calibrations of pale's scan and of other's
 */
export function toneShift(pale: MeasuredInk, other: MeasuredInk, ...calibrations: Calibrations): readonly Quantity[] {
  return toneShiftOf(mapped(pale), mapped(other), {
    // Against its own paper an ink's colour carries that paper's doubt too, which is mostly the same map's at the same place.
    calibration: calibrationPart(pale, other, calibrations, 'two papers'),
    method: PAIR_METHODS.toneShift,
  });
}

export interface Comparing {
  /** What the way of telling colours leaves in doubt of their ΔE00. */
  readonly calibration: number;
  readonly method: string;
  /** Told each for itself; else all follow from `calibration`. */
  readonly parts?: {
    readonly adapted: number;
    readonly dL: number;
    readonly dC: number;
    readonly dHueDeg: number;
  };
}

/** @param how.twoLights the two lie on two scans */
export function nibShadingOf(
  a: ComparedInk,
  b: ComparedInk,
  how: Pick<Comparing, 'calibration' | 'method'> & { readonly twoLights: boolean },
): Quantity {
  const value = deltaE2000(a.lab, b.lab);
  // Two regions of one page see nearly the same light; two pages, and two scans, may not lie alike on the bed.
  const parts = differenceParts(a, b, how.calibration, how.twoLights);
  return {
    quantity: 'nibShading',
    subject: { regions: [a.region, b.region] },
    value,
    unit: 'ΔE00',
    ...parts,
    verdict: verdict(value, parts.u, SHADING_LIMITS),
    limits: SHADING_LIMITS,
    flags: union(a.flags, b.flags),
    method: how.method,
  };
}

/** @param pale comes first, and differences are other minus pale */
export function toneShiftOf(pale: ComparedInk, other: ComparedInk, how: Comparing): readonly Quantity[] {
  const subject: Subject = { regions: [pale.region, other.region] };
  const flags = union(pale.flags, other.flags);
  const { method } = how;
  const [from, to] = [pale.lab, other.lab];
  const absolute = differenceParts(pale, other, how.calibration, true);
  const adapted = how.parts ? differenceParts(pale, other, how.parts.adapted, true) : absolute;
  const [cFrom, cTo] = [chroma(from), chroma(to)];
  const beside = Math.hypot(absolute.uParts.repeatability, absolute.uParts.placement);
  const uOf = (own: number | undefined, perDE: number): number =>
    own === undefined ? absolute.u * perDE : Math.hypot(own, beside * perDE);
  const hueTells = Math.min(cFrom, cTo) > 2 * absolute.u;
  const perHue = ((1 + 0.0075 * (cFrom + cTo)) / Math.max(1, Math.sqrt(cFrom * cTo))) * (180 / Math.PI);
  const sL = 1 + (0.015 * ((from[0] + to[0]) / 2 - 50) ** 2) / Math.sqrt(20 + ((from[0] + to[0]) / 2 - 50) ** 2);
  return [
    { quantity: 'toneShift', subject, value: deltaE2000(from, to), unit: 'ΔE00', ...absolute, flags, method },
    {
      quantity: 'toneShift.adapted',
      subject,
      value: deltaE2000(pale.own, other.own),
      unit: 'ΔE00',
      ...adapted,
      flags,
      method,
    },
    {
      quantity: 'toneShift.dL',
      subject,
      value: to[0] - from[0],
      unit: 'ΔL*',
      u: uOf(how.parts?.dL, sL),
      flags,
      method,
    },
    {
      quantity: 'toneShift.dC',
      subject,
      value: cTo - cFrom,
      unit: '1',
      u: uOf(how.parts?.dC, 1 + 0.0225 * (cFrom + cTo)),
      flags,
      method,
    },
    {
      quantity: 'toneShift.dHue',
      subject,
      value: hueTells ? hueDifferenceDeg(hueDeg(from), hueDeg(to)) : null,
      unit: '°',
      u: hueTells ? uOf(how.parts?.dHueDeg, perHue) : null,
      flags: hueTells ? flags : [...flags, 'cannot-tell'],
      method,
    },
  ];
}

function mapped(ink: MeasuredInk): ComparedInk {
  const { region, placement, light, flags, colour, paper } = ink;
  const own = labD50(...xyzToLabWhite(colour.xyz, paper.xyz));
  return { region, placement, light, flags, lab: colour.lab, own, covariance: colour.covariance };
}

function isTwo([of, ofOther = of]: Calibrations): boolean {
  return of !== ofOther;
}

function calibrationPart(
  a: MeasuredInk,
  b: MeasuredInk,
  calibrations: Calibrations,
  common: 'one paper' | 'two papers',
): number {
  const [of, ofOther = of] = calibrations;
  if (!isTwo(calibrations)) return differenceUncertainty(a.colour.lab, b.colour.lab, of, common);
  return differenceBetweenScans(
    { lab: a.colour.lab, calibration: of },
    { lab: b.colour.lab, calibration: ofOther },
    common,
  );
}

function differenceParts(a: ComparedInk, b: ComparedInk, calibration: number, twoLights: boolean) {
  const slope = deltaESlope(a.lab, b.lab);
  const covariance = a.covariance.map((v, i) => v + b.covariance[i]);
  let variance = 0;
  for (let p = 0; p < 3; p++) for (let q = 0; q < 3; q++) variance += slope[p] * slope[q] * covariance[3 * p + q];
  const placement = Math.hypot(...slope.map((s, c) => s * Math.hypot(a.placement[c], b.placement[c])));
  const lightPart = twoLights ? Math.hypot(byLight(a, b.lab), byLight(b, a.lab)) : 0;
  return combine(Math.sqrt(Math.max(0, variance)), Math.hypot(calibration, lightPart), placement);
}

/** What the doubt of one side's light does to the ΔE00: L* goes with the cube root of light, so a share of it moves L* by (L* + 16) / 3 times as much. */
function byLight({ lab, light }: ComparedInk, other: LabD50): number {
  return light === 0 ? 0 : Math.abs(deltaESlope(other, lab)[0]) * ((lab[0] + 16) / 3) * light;
}

/** Gradient of ΔE00 by the Lab of the second colour, by differences; at (near) equality the length of the metric per axis. */
export function deltaESlope(a: LabD50, b: LabD50): LabValue {
  const at = deltaE2000(a, b);
  const step = 0.05;
  const moved = (c: number, by: number) =>
    labD50(b[0] + (c === 0 ? by : 0), b[1] + (c === 1 ? by : 0), b[2] + (c === 2 ? by : 0));
  if (at < 4 * step) return triple((c) => deltaE2000(b, moved(c, step)) / step);
  return triple((c) => (deltaE2000(a, moved(c, step)) - deltaE2000(a, moved(c, -step))) / (2 * step));
}
