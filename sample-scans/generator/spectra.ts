/** The grid on which this small world has its spectra, and the observer on it. */
import { reflectanceToXyz } from '../../analysis/colour/spectrum.ts';
import type { Xyz } from '../../analysis/colour/lab.ts';

export const GRID = { firstNm: 380, stepNm: 10, count: 36 } as const;
export const WAVELENGTHS: readonly number[] = Array.from(
  { length: GRID.count },
  (_, i) => GRID.firstNm + GRID.stepNm * i,
);

/** A value per wavelength of GRID. */
export type Curve = Float64Array;

export function curve(of: (nm: number) => number): Curve {
  return Float64Array.from(WAVELENGTHS, of);
}

/** Weights of X, Y and Z per wavelength: the project's own sums, which are linear, read out one wavelength at a time. */
export const OBSERVER: readonly [Curve, Curve, Curve] = observerWeights();

/** XYZ (D50, 2°) of a reflectance on GRID. */
export function toXyz(reflectance: ArrayLike<number>): Xyz {
  return [dot(OBSERVER[0], reflectance), dot(OBSERVER[1], reflectance), dot(OBSERVER[2], reflectance)];
}

export function dot(weights: Curve, values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < GRID.count; i++) sum += weights[i] * values[i];
  return sum;
}

/** A bell whose short-wave and long-wave sides differ: skew > 0 is broader towards the blue, as dyes are. */
export function skewedBell(nm: number, peakNm: number, sdNm: number, skew: number): number {
  const side = nm < peakNm ? 1 + skew : 1 - skew;
  return Math.exp(-0.5 * ((nm - peakNm) / (sdNm * side)) ** 2);
}

/** Smooth step from 0 to 1 around `atNm`; `widthNm` is its 12–88 % width. */
export function edge(nm: number, atNm: number, widthNm: number): number {
  return 1 / (1 + Math.exp((-4 * (nm - atNm)) / widthNm));
}

function observerWeights(): [Curve, Curve, Curve] {
  const sums = WAVELENGTHS.map((_, at) =>
    reflectanceToXyz({
      firstNm: GRID.firstNm,
      stepNm: GRID.stepNm,
      values: WAVELENGTHS.map((__, i) => (i === at ? 1 : 0)),
    }),
  );
  return [
    Float64Array.from(sums, (xyz) => xyz[0]),
    Float64Array.from(sums, (xyz) => xyz[1]),
    Float64Array.from(sums, (xyz) => xyz[2]),
  ];
}
