/**
 * Patches that something lies on, or whose known value is another's: told by what they look like inside, and by a robust first fit
 * that such patches have no say in. What is left out of every fit is little, else a wrong reference could hide behind it.
 */
import { deltaE2000 } from '../colour/deltaE.ts';
import { labToXyz, xyzToLab, type LabD50 } from '../colour/lab.ts';
import type { PatchReading, TargetReference } from './calibration.ts';
import { patchMetrics, type PatchSample } from './channelCurves.ts';
import { fitColour, predictColour } from './colourFit.ts';
import { labMetric } from './colourMetric.ts';
import { upperMedian } from '../quantile.ts';

/** A patch is not even beyond these: a quarter apart by so much of the scale, or so many stray pixels that they move a trimmed mean. */
const QUARTER_SPREAD = 0.035;
const STRAY_SHARE = 0.04;
/** Where only the scatter is known: so many times that of patches alike in value, and so much of the scale. */
const SCATTER_TIMES = 6;
const LEAST_SCATTER = 0.05;
const NEIGHBOURS = 5;
/** Departure from what patches alike in colour depart by, ΔE00, and against the usual one (docs/study/target-faults.md). */
const LEAST_DEPARTURE = 12;
const DEPARTURE_TIMES = 28;
/** Beyond this it departs from whatever scanner: the worst patches of the least observer-like simulated ones stay below. */
const MOST_DEPARTURE = 18;
/** Fewer patches than this cannot tell a stray one from a bend of the device. */
const FEWEST_PATCHES = 20;
/** From here on a patch has no say in the robust fit; nearer than where it is told, so that a few covered ones cannot bend it. */
const LEAST_REACH = 6;
const REACH_TIMES = 6;
const ROUNDS = 8;
/** Weight in the fit from which a patch speaks for its neighbours. */
const BELIEVED = 0.3;

/** What lies on several patches looks alike on all: in each channel so nearly, while known values of those that it hides are so far apart, ΔE00. */
const LOOKS_ALIKE = 0.02;
const KNOWN_APART = 5;

/** Of a target's patches, the share that may be left out; more, and it is the target or its reference that is wrong. */
export const MOST_COVERED = 0.15;

export type CoverSign = 'uneven' | 'departs' | 'alike';

/** Ids of patches that are not even inside. */
export function unevenPatches(readings: readonly PatchReading[]): Set<string> {
  return new Set(readings.filter((reading) => isUneven(reading, readings)).map((reading) => reading.id));
}

function isUneven(reading: PatchReading, all: readonly PatchReading[]): boolean {
  if (reading.evenness !== undefined) {
    return reading.evenness.quarterSpread > QUARTER_SPREAD || reading.evenness.strayShare > STRAY_SHARE;
  }
  const own = Math.max(...reading.sd);
  if (own < LEAST_SCATTER) return false;
  const near = [...all]
    .sort((a, b) => apart(a.device, reading.device) - apart(b.device, reading.device))
    .slice(1, 1 + 2 * NEIGHBOURS)
    .map((other) => Math.max(...other.sd));
  return own > SCATTER_TIMES * upperMedian(near, 0);
}

/** @returns what tells, by id; even patches that depart are sought among those left by the uneven ones */
export function coveredPatches(
  readings: readonly PatchReading[],
  reference: TargetReference,
): ReadonlyMap<string, CoverSign> {
  const signs = new Map<string, CoverSign>();
  for (const id of unevenPatches(readings)) signs.set(id, 'uneven');
  const even = readings.filter((reading) => !signs.has(reading.id) && reference.patches.has(reading.id));
  if (even.length >= FEWEST_PATCHES) {
    const labs = even.map((reading) => reference.patches.get(reading.id)!.lab);
    const departing = departures(even, labs);
    departing.forEach((departs, i) => {
      if (!departs) return;
      signs.set(even[i].id, 'departs');
      for (const j of underTheSame(i, even, labs)) if (!departing[j]) signs.set(even[j].id, 'alike');
    });
  }
  return signs;
}

/**
 * Paper over a corner departs from dark and strong colours far, from pale ones by less than a scanner may: these would bend the light end of every curve.
 * @returns the patches that look like the departing one; none if all of these are known to be alike, as white ones beside a misprinted value are
 */
function underTheSame(departing: number, readings: readonly PatchReading[], labs: readonly LabD50[]): number[] {
  const own = readings[departing].device;
  const same = readings.flatMap(({ device }, j) =>
    j !== departing && device.every((value, k) => Math.abs(value - own[k]) <= LOOKS_ALIKE * own[k]) ? [j] : [],
  );
  return same.some((i) => same.some((j) => deltaE2000(labs[i], labs[j]) > KNOWN_APART)) ? same : [];
}

/** One exponent for all channels and a root polynomial, refitted with less and less say for what departs (Tukey's biweight). */
function departures(readings: readonly PatchReading[], labs: readonly LabD50[]): boolean[] {
  const exponent = robustExponent(readings, labs);
  const signals = readings.map(({ device }) => {
    const [r, g, b] = device.map((value) => Math.max(value, 0) ** exponent);
    return [r, g, b] as const;
  });
  const samples = readings.map((reading, i): PatchSample => ({ ...reading, light: [1, 1, 1], xyz: labToXyz(labs[i]) }));
  const metrics = patchMetrics(samples.map((sample) => ({ ...sample, trust: 1 })));
  const xyz = samples.map((sample) => sample.xyz);
  const model = readings.length >= 40 ? 'rootPolynomial2' : 'affine';
  let weights = readings.map(() => 1);
  let scores = weights;
  let limit = Infinity;
  const neighbours = labs.map((lab) => nearest(lab, labs));
  for (let round = 0; round < ROUNDS; round++) {
    const fit = fitColour(model, 0.001, {
      signals,
      xyz,
      metrics: metrics.map((metric, i) => metric.map((value) => value * Math.sqrt(weights[i]))),
    });
    const errors = signals.map((signal, i) => {
      const found = xyzToLab(predictColour(fit, signal));
      return [0, 1, 2].map((k) => found[k] - labs[i][k]);
    });
    scores = errors.map((error, i) => {
      // The first fit knows no better than to believe all of them alike, neighbours under the same finger too.
      const believed = neighbours[i].filter((j) => weights[j] > BELIEVED);
      const usual = [0, 1, 2].map((k) =>
        round === 0 || believed.length < 3 ? 0 : upperMedian(believed.map((j) => errors[j][k])),
      );
      return lengthOf(
        labs[i],
        error.map((value, k) => value - usual[k]),
      );
    });
    limit = Math.max(LEAST_DEPARTURE, Math.min(MOST_DEPARTURE, DEPARTURE_TIMES * upperMedian(scores, 0)));
    const reach = Math.max(LEAST_REACH, REACH_TIMES * upperMedian(scores, 0));
    weights = scores.map((score) => {
      const t = score / reach;
      return t < 1 ? (1 - t * t) ** 2 + 1e-6 : 1e-6;
    });
  }
  return scores.map((score) => score > limit);
}

/** Theil & Sen's slope of ln Y over ln device, over greys where there are some: a covered one does not bend it. */
function robustExponent(readings: readonly PatchReading[], labs: readonly LabD50[]): number {
  const named = readings.map((_, i) => i).filter((i) => readings[i].grey);
  const used = (named.length >= 6 ? named : readings.map((_, i) => i)).filter(
    (i) => Math.min(...readings[i].device) > 0,
  );
  const x = used.map((i) =>
    Math.log(readings[i].device[0] * 0.25 + readings[i].device[1] * 0.6 + readings[i].device[2] * 0.15),
  );
  const y = used.map((i) => Math.log(labToXyz(labs[i])[1]));
  const slopes: number[] = [];
  for (let i = 0; i < x.length; i++) {
    for (let j = 0; j < i; j++) if (Math.abs(x[i] - x[j]) > 0.05) slopes.push((y[i] - y[j]) / (x[i] - x[j]));
  }
  return slopes.length === 0 ? 2 : Math.min(4, Math.max(0.5, upperMedian(slopes)));
}

function nearest(lab: LabD50, labs: readonly LabD50[]): number[] {
  return labs
    .map((other, i) => [deltaE2000(lab, other), i] as const)
    .filter(([, i]) => labs[i] !== lab)
    .sort((a, b) => a[0] - b[0])
    .slice(0, NEIGHBOURS)
    .map(([, i]) => i);
}

function lengthOf(lab: LabD50, error: readonly number[]): number {
  const m = labMetric(lab);
  return Math.hypot(m[0] * error[0], m[4] * error[1] + m[5] * error[2], m[7] * error[1] + m[8] * error[2]);
}

function apart(a: readonly number[], b: readonly number[]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}
