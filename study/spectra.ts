/** The studies' wavelengths, and XYZ as weighted sums over them. */
import type { Xyz } from '../analysis/colour/lab.ts';
import { D50 } from '../analysis/colour/lab.ts';
import { reflectanceToXyz } from '../analysis/colour/spectrum.ts';

const FIRST_NM = 380;
const STEP_NM = 10;
const COUNT = 36;

export const WAVELENGTHS: readonly number[] = Array.from({ length: COUNT }, (_, i) => FIRST_NM + STEP_NM * i);

/** Resampling and summing are linear, so one unit spectrum a wavelength gives the weights; scaled so that R = 1 is the white of Lab exactly. */
const weights: readonly Xyz[] = (() => {
  const raw = WAVELENGTHS.map((_, i) =>
    reflectanceToXyz({ firstNm: FIRST_NM, stepNm: STEP_NM, values: WAVELENGTHS.map((_, j) => (i === j ? 1 : 0)) }),
  );
  const white = [0, 1, 2].map((k) => raw.reduce((sum, w) => sum + w[k], 0));
  return raw.map((w): Xyz => [(w[0] * D50[0]) / white[0], (w[1] * D50[1]) / white[1], (w[2] * D50[2]) / white[2]]);
})();

export function xyzOf(reflectance: readonly number[] | Float64Array): Xyz {
  let X = 0;
  let Y = 0;
  let Z = 0;
  for (let i = 0; i < COUNT; i++) {
    X += weights[i][0] * reflectance[i];
    Y += weights[i][1] * reflectance[i];
    Z += weights[i][2] * reflectance[i];
  }
  return [X, Y, Z];
}
