/** The wavelengths of the film fit, 380–730 nm by 10 nm, and XYZ as weighted sums over them. */
import { D50, type Xyz } from '../colour/lab.ts';
import { reflectanceToXyz, resample, type Spectrum } from '../colour/spectrum.ts';

export const GRID = { firstNm: 380, stepNm: 10, count: 36 } as const;

export const WAVELENGTHS_NM: readonly number[] = Array.from(
  { length: GRID.count },
  (_, l) => GRID.firstNm + GRID.stepNm * l,
);

/** XYZ of a reflectance r is Σ r[l] · XYZ_WEIGHTS[k][l]; the perfect diffuser gives the white of Lab (D50, 2°) exactly. */
export const XYZ_WEIGHTS: readonly [Float64Array, Float64Array, Float64Array] = (() => {
  // Resampling and summing are linear, so one unit spectrum a wavelength gives the weights.
  const raw = WAVELENGTHS_NM.map((_, l) =>
    reflectanceToXyz({
      firstNm: GRID.firstNm,
      stepNm: GRID.stepNm,
      values: WAVELENGTHS_NM.map((_, m) => (l === m ? 1 : 0)),
    }),
  );
  const weights = (k: 0 | 1 | 2): Float64Array => {
    const white = raw.reduce((sum, w) => sum + w[k], 0);
    return Float64Array.from(raw, (w) => (w[k] * D50[k]) / white);
  };
  return [weights(0), weights(1), weights(2)];
})();

/** @param r 36 reflectances on the grid */
export function xyzOnGrid(r: ArrayLike<number>): Xyz {
  let X = 0;
  let Y = 0;
  let Z = 0;
  for (let l = 0; l < GRID.count; l++) {
    X += r[l] * XYZ_WEIGHTS[0][l];
    Y += r[l] * XYZ_WEIGHTS[1][l];
    Z += r[l] * XYZ_WEIGHTS[2][l];
  }
  return [X, Y, Z];
}

/** A spectrum of any regular grid on this one; ends are held (analysis/colour/spectrum.ts says how). */
export function onGrid(spectrum: Spectrum): Float64Array {
  return Float64Array.from(resample(spectrum, WAVELENGTHS_NM));
}
