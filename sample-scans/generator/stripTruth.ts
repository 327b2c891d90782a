/** What is true of a strip: each dye's own band, alone on the strip's paper, and what stayed at the origin. */
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { CELL_MM } from './chromatography.ts';
import type { Profile } from './chromatography.ts';
import { filmReflectance } from './film.ts';
import type { Ink } from './ink.ts';
import type { Lab } from './inkTruth.ts';
import type { Curve } from './spectra.ts';
import { toXyz } from './spectra.ts';

export interface BandTruth {
  /** Counted from 1 by R_F. */
  readonly band: number;
  readonly family: string;
  /** (apex − origin)/(front − origin). */
  readonly rf: number;
  readonly rfCentroid: number;
  /** The dye alone at its apex. */
  readonly lab: Lab;
  /** What is seen at the apex, other dyes included. */
  readonly labSeen: Lab;
  readonly peakDose: number;
  /** Largest absorbance, −log10(Y/Y of the strip). */
  readonly peakAbsorbance: number;
  /** Share of the strip's absorbance (to Y), %. */
  readonly sharePercent: number;
  /** Full width at half height of the absorbance. */
  readonly widthMm: number;
  /** Trailing over leading half-width at a tenth of the height. */
  readonly tail: number;
  /** R_s to the next band up, from half widths (1.18·Δx/(w1 + w2)); null for the last. */
  readonly resolutionToNext: number | null;
}

export interface StripTruth {
  readonly scan: string;
  readonly run: 'fresh' | 'dried';
  /** Reflectance of the strip's paper, 380–730 nm by 10 nm. */
  readonly paper: number[];
  readonly paperColour: Lab;
  readonly originMm: number;
  readonly frontMm: number;
  /** From origin to front, mm. */
  readonly travelledMm: number;
  readonly bands: readonly BandTruth[];
  /** Share of absorbance (to Y) that never left the origin, %. */
  readonly originRetainedPercent: number;
}

export interface StripNumbers {
  readonly bands: readonly BandTruth[];
  readonly originRetainedPercent: number;
}

/** @param profiles one per dye of the ink; @param travelledMm from origin to front. */
export function stripNumbers(ink: Ink, ground: Curve, profiles: readonly Profile[], travelledMm: number): StripNumbers {
  const paperY = toXyz(ground)[1];
  const alone = profiles.map((p, d) => p.moved.map((dose) => absorbance(ground, [[d, dose]], ink, paperY)));
  const cells = profiles[0].bound.length;
  const origin = Float64Array.from({ length: cells }, (_, i) =>
    absorbance(
      ground,
      profiles.map((p, d) => [d, p.bound[i]] as const),
      ink,
      paperY,
    ),
  );
  const areas = alone.map(total);
  const whole = areas.reduce((a, b) => a + b, total(origin));
  const order = profiles
    .map((_, d) => d)
    .sort((a, b) => apexMm(profiles[a].fromMm, alone[a]) - apexMm(profiles[b].fromMm, alone[b]));
  const drafts = order.map((d, n): BandTruth => {
    const from = profiles[d].fromMm;
    const apex = apexMm(from, alone[d]);
    const at = Math.round((apex - from) / CELL_MM);
    const peak = alone[d][at];
    const centroid =
      from + (CELL_MM * alone[d].reduce((sum, v, i) => sum + v * i, 0)) / alone[d].reduce((a, b) => a + b, 0);
    const tenth = crossings(alone[d], at, 0.1 * peak);
    const half = crossings(alone[d], at, 0.5 * peak);
    return {
      band: n + 1,
      family: ink.dyes[d].family,
      rf: apex / travelledMm,
      rfCentroid: centroid / travelledMm,
      lab: xyzToLab(toXyz(mixture(ground, [[d, profiles[d].moved[at]]], ink))),
      labSeen: xyzToLab(
        toXyz(
          mixture(
            ground,
            profiles.map((p, k) => [k, p.moved[at] + p.bound[at]] as const),
            ink,
          ),
        ),
      ),
      peakDose: profiles[d].moved[at],
      peakAbsorbance: peak,
      sharePercent: (100 * areas[d]) / whole,
      widthMm: (half[0] + half[1]) * CELL_MM,
      tail: tenth[0] / tenth[1],
      resolutionToNext: null,
    };
  });
  const bands = drafts.map((band, n) =>
    n + 1 < drafts.length
      ? {
          ...band,
          resolutionToNext:
            (1.18 * (drafts[n + 1].rf - band.rf) * travelledMm) / (band.widthMm + drafts[n + 1].widthMm),
        }
      : band,
  );
  return { bands, originRetainedPercent: whole > 0 ? (100 * total(origin)) / whole : 0 };
}

/** Reflectance of several dyes, each [index, dose], mixed in one layer. */
export function mixture(ground: Curve, doses: readonly (readonly [number, number])[], ink: Ink): Curve {
  const dose = doses.reduce((sum, [, d]) => sum + d, 0);
  return ground.map((rg, l) => {
    const K = doses.reduce((sum, [dye, d]) => sum + d * ink.dyes[dye].absorption[l], 0);
    return filmReflectance(rg, K, (dose * ink.scatter) / ink.dyes.length);
  });
}

function absorbance(ground: Curve, doses: readonly (readonly [number, number])[], ink: Ink, paperY: number): number {
  if (doses.every(([, d]) => d < 1e-6)) return 0;
  return -Math.log10(toXyz(mixture(ground, doses, ink))[1] / paperY);
}

function total(values: Float64Array): number {
  return values.reduce((a, b) => a + b, 0) * CELL_MM;
}

/** Top of a parabola through the three highest neighbours. */
function apexMm(fromMm: number, values: Float64Array): number {
  let at = 1;
  for (let i = 1; i + 1 < values.length; i++) if (values[i] > values[at]) at = i;
  const [a, b, c] = [values[at - 1], values[at], values[at + 1]];
  const bend = a - 2 * b + c;
  return fromMm + CELL_MM * (at + (bend === 0 ? 0 : (0.5 * (a - c)) / bend));
}

/** Cells from the apex down to a level: on the side of the origin and on the side of the front. */
function crossings(values: Float64Array, apex: number, level: number): [number, number] {
  const walk = (step: 1 | -1): number => {
    let i = apex;
    while (i + step >= 0 && i + step < values.length && values[i + step] > level) i += step;
    const next = values[i + step] ?? 0;
    return Math.abs(i - apex) + (values[i] - level) / (values[i] - next || 1);
  };
  return [walk(-1), walk(1)];
}
