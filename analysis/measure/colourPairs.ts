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

const NIB_METHOD = 'nibShading/1';
const TONE_METHOD = 'toneShift/1';

type Calibrations = readonly [of: Calibration, ofOther?: Calibration];

/** Flags that make a difference worthless or tainted when either side carries them. */
function union(a: readonly Flag[], b: readonly Flag[]): Flag[] {
  return [...new Set([...a, ...b])];
}

/** @param calibrations of a's scan and of b's: one and the same for most */
export function nibShading(a: MeasuredInk, b: MeasuredInk, ...calibrations: Calibrations): Quantity {
  const subject: Subject = { regions: [a.region, b.region] };
  const value = deltaE2000(a.colour.lab, b.colour.lab);
  const parts = differenceParts(a, b, calibrations, 'one paper');
  return {
    quantity: 'nibShading',
    subject,
    value,
    unit: 'ΔE00',
    ...parts,
    verdict: verdict(value, parts.u, SHADING_LIMITS),
    limits: SHADING_LIMITS,
    flags: union(a.flags, b.flags),
    method: NIB_METHOD,
  };
}

/**
 * @param pale The ink on the paler paper; it comes first, and differences are other minus pale.
 * @param calibrations of pale's scan and of other's
 */
export function toneShift(pale: MeasuredInk, other: MeasuredInk, ...calibrations: Calibrations): readonly Quantity[] {
  const subject: Subject = { regions: [pale.region, other.region] };
  const flags = union(pale.flags, other.flags);
  const method = TONE_METHOD;
  const [from, to] = [pale.colour.lab, other.colour.lab];
  const absolute = deltaE2000(from, to);
  const parts = differenceParts(pale, other, calibrations, 'two papers');
  const [ownFrom, ownTo] = [againstOwnPaper(pale), againstOwnPaper(other)];
  const adapted = deltaE2000(ownFrom, ownTo);
  // Against its own paper an ink's colour carries that paper's doubt too, which is mostly the same map's at the same place.
  const [cFrom, cTo] = [chroma(from), chroma(to)];
  const hueTells = Math.min(cFrom, cTo) > 2 * parts.u;
  const hueU = ((parts.u * (1 + 0.0075 * (cFrom + cTo))) / Math.max(1, Math.sqrt(cFrom * cTo))) * (180 / Math.PI);
  const sL = 1 + (0.015 * ((from[0] + to[0]) / 2 - 50) ** 2) / Math.sqrt(20 + ((from[0] + to[0]) / 2 - 50) ** 2);
  return [
    { quantity: 'toneShift', subject, value: absolute, unit: 'ΔE00', ...parts, flags, method },
    { quantity: 'toneShift.adapted', subject, value: adapted, unit: 'ΔE00', ...parts, flags, method },
    { quantity: 'toneShift.dL', subject, value: to[0] - from[0], unit: 'ΔL*', u: parts.u * sL, flags, method },
    {
      quantity: 'toneShift.dC',
      subject,
      value: cTo - cFrom,
      unit: '1',
      u: parts.u * (1 + 0.0225 * (cFrom + cTo)),
      flags,
      method,
    },
    {
      quantity: 'toneShift.dHue',
      subject,
      value: hueTells ? hueDifferenceDeg(hueDeg(from), hueDeg(to)) : null,
      unit: '°',
      u: hueTells ? hueU : null,
      flags: hueTells ? flags : [...flags, 'cannot-tell'],
      method,
    },
  ];
}

/** CIELAB with the ink's own paper as the white. */
function againstOwnPaper(ink: MeasuredInk): LabD50 {
  return labD50(...xyzToLabWhite(ink.colour.xyz, ink.paper.xyz));
}

function differenceParts(
  a: MeasuredInk,
  b: MeasuredInk,
  [of, ofOther = of]: Calibrations,
  common: 'one paper' | 'two papers',
) {
  const slope = deltaESlope(a.colour.lab, b.colour.lab);
  const covariance = a.colour.covariance.map((v, i) => v + b.colour.covariance[i]);
  let variance = 0;
  for (let p = 0; p < 3; p++) for (let q = 0; q < 3; q++) variance += slope[p] * slope[q] * covariance[3 * p + q];
  const placement = Math.hypot(...slope.map((s, c) => s * Math.hypot(a.placement[c], b.placement[c])));
  const twoScans = of !== ofOther;
  // Two regions of one page see nearly the same light; two pages, and two scans, may not lie alike on the bed.
  const light = common === 'two papers' || twoScans ? Math.hypot(a.light, b.light) : 0;
  const calibration = twoScans
    ? differenceBetweenScans(
        { lab: a.colour.lab, calibration: of },
        { lab: b.colour.lab, calibration: ofOther },
        common,
      )
    : differenceUncertainty(a.colour.lab, b.colour.lab, of, common);
  const lightPart = Math.abs(slope[0]) * ((a.colour.lab[0] + 16) / 3) * light;
  return combine(Math.sqrt(Math.max(0, variance)), Math.hypot(calibration, lightPart), placement);
}

/** Gradient of ΔE00 by the Lab of the second colour, by differences; at (near) equality the length of the metric per axis. */
function deltaESlope(a: LabD50, b: LabD50): LabValue {
  const at = deltaE2000(a, b);
  const step = 0.05;
  const moved = (c: number, by: number) =>
    labD50(b[0] + (c === 0 ? by : 0), b[1] + (c === 1 ? by : 0), b[2] + (c === 2 ? by : 0));
  if (at < 4 * step) return triple((c) => deltaE2000(b, moved(c, step)) / step);
  return triple((c) => (deltaE2000(a, moved(c, step)) - deltaE2000(a, moved(c, -step))) / (2 * step));
}
