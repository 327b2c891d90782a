/**
 * How fast the liquid ran: its front's distance grows with the square root of time.
 * Source: Lucas (1918), Kolloid-Z. 23, 15–22; Washburn (1921), Phys. Rev. 17, 273–283.
 */
import type { Flag, Quantity } from '../../quantity.ts';
import { uncertaintyOf, type Told } from './strip.ts';

export const FRONT_METHODS = { frontSpeed: 'frontSpeed/2', 'frontSpeed.line': 'frontSpeed.line/1' } as const;

/** A clock read by hand, s (common practice, no source). */
const CLOCK_U_S = 1;
/** A line through two points has nothing left to doubt it by. */
const LEAST_TIMES = 3;

/** One strip whose front had so long to run. */
export interface TimedFront {
  readonly region: string;
  readonly distance: Told;
  readonly runS: number;
  readonly flags: readonly Flag[];
}

/** mm/√s of one strip: it trusts that the front left the origin when the clock started. */
export function frontSpeed(
  region: string,
  distance: Told | null,
  runS: number,
  flags: readonly Flag[],
  lostEnds: readonly Flag[],
): Quantity {
  const own = { quantity: 'frontSpeed', subject: { regions: [region] }, unit: 'mm/√s' } as const;
  const method = FRONT_METHODS.frontSpeed;
  if (distance === null) return { ...own, value: null, u: null, flags: [...new Set([...flags, ...lostEnds])], method };
  const root = Math.sqrt(runS);
  const value = distance.value / root;
  const clock = (0.5 * value * CLOCK_U_S) / runS;
  const placement = Math.hypot(distance.parts.placement / root, clock);
  const repeatability = distance.parts.repeatability / root;
  return {
    ...own,
    value,
    u: Math.hypot(placement, repeatability),
    uParts: { repeatability, calibration: 0, placement },
    flags: [...flags],
    method,
  };
}

export interface FrontLine {
  /** mm/√s. */
  readonly slope: number;
  readonly uSlope: number;
  /** Distance at the clock's start, mm: off 0 when the liquid stood before or beyond the origin then. */
  readonly startMm: number;
  readonly uStartMm: number;
}

/**
 * Ordinary least squares of distance on √t. Its scatter about the line counts, and never as less than what the distances themselves
 * may err by; with few points it is widened as Student's t is wider than the normal.
 */
export function frontLine(fronts: readonly Pick<TimedFront, 'distance' | 'runS'>[]): FrontLine {
  const n = fronts.length;
  const x = fronts.map((f) => Math.sqrt(f.runS));
  const y = fronts.map((f) => f.distance.value);
  const meanX = x.reduce((a, b) => a + b, 0) / n;
  const meanY = y.reduce((a, b) => a + b, 0) / n;
  const sxx = x.reduce((sum, v) => sum + (v - meanX) ** 2, 0);
  const slope = x.reduce((sum, v, i) => sum + (v - meanX) * (y[i] - meanY), 0) / sxx;
  const startMm = meanY - slope * meanX;
  const free = n - 2;
  const scatter = Math.sqrt(x.reduce((sum, v, i) => sum + (y[i] - startMm - slope * v) ** 2, 0) / Math.max(1, free));
  const wider = (STUDENT_95[free - 1] ?? 2) / 2;
  const own = Math.hypot(...fronts.map((f) => placeDoubt(f, slope))) / Math.sqrt(n);
  const each = Math.max(own, wider * scatter);
  return {
    slope,
    uSlope: each / Math.sqrt(sxx),
    startMm,
    uStartMm: each * Math.sqrt(1 / n + meanX ** 2 / sxx),
  };
}

/** Student's t for 95 %, ν = 1, 2, …: GUM (JCGM 100:2008), table G.2. Since u is shown as ± 2u, half of it takes the place of 1. */
const STUDENT_95 = [12.71, 4.3, 3.18, 2.78, 2.57, 2.45, 2.36, 2.31, 2.26, 2.23, 2.2, 2.18, 2.16, 2.14, 2.13];

function placeDoubt({ distance, runS }: Pick<TimedFront, 'distance' | 'runS'>, slope: number): number {
  return Math.hypot(uncertaintyOf(distance), (0.5 * slope * CLOCK_U_S) / Math.sqrt(runS));
}

/** Several fronts of one paper and liquid: the slope of their line, with the fronts themselves as its curve. [] for too few times. */
export function frontLineFinding(fronts: readonly TimedFront[]): Quantity[] {
  const byTime = fronts.toSorted((a, b) => a.runS - b.runS);
  if (new Set(byTime.map((f) => f.runS)).size < LEAST_TIMES) return [];
  const { slope, uSlope } = frontLine(byTime);
  return [
    {
      quantity: 'frontSpeed.line',
      subject: { regions: fronts.map((f) => f.region) },
      value: slope,
      unit: 'mm/√s',
      u: uSlope,
      curve: {
        x: { name: 'time', unit: 's', values: byTime.map((f) => f.runS) },
        y: [
          {
            name: 'distance',
            unit: 'mm',
            values: byTime.map((f) => f.distance.value),
            u: byTime.map((f) => uncertaintyOf(f.distance)),
          },
        ],
      },
      flags: [...new Set(byTime.flatMap((f) => f.flags))],
      method: FRONT_METHODS['frontSpeed.line'],
    },
  ];
}
