/** From spectral reflectance to XYZ under D50. */
import { D50_POWER, OBSERVER_GRID, X_BAR, Y_BAR, Z_BAR } from './observer.ts';
import { D50 } from './lab.ts';
import type { Xyz } from './lab.ts';

/** A reflectance 0..1 on a regular grid of wavelengths. */
export interface Spectrum {
  readonly firstNm: number;
  readonly stepNm: number;
  readonly values: readonly number[];
}

const WAVELENGTHS = Array.from(
  { length: OBSERVER_GRID.count },
  (_, i) => OBSERVER_GRID.firstNm + OBSERVER_GRID.stepNm * i,
);
/** The perfect diffuser by the same sums. */
const WHITE = weigh(WAVELENGTHS.map(() => 1));

/**
 * XYZ under D50, 2° observer, Y = 1 for the perfect diffuser: sums at 5 nm (CIE 15:2018, eq. 7.1).
 * Plain sums give the perfect diffuser (0.96420, 1, 0.82512); X and Z are scaled by the missing 0.00002 and 0.0001, as the
 * weights of ASTM E308 are, so that a flat spectrum has no chroma at all.
 * @param r any regular grid; brought to 5 nm by `resample`.
 */
export function reflectanceToXyz(r: Spectrum): Xyz {
  const sums = weigh(resample(r, WAVELENGTHS));
  return [(D50[0] * sums[0]) / WHITE[0], sums[1] / WHITE[1], (D50[2] * sums[2]) / WHITE[2]];
}

function weigh(reflectance: readonly number[]): Xyz {
  let X = 0;
  let Y = 0;
  let Z = 0;
  for (let i = 0; i < reflectance.length; i++) {
    const light = D50_POWER[i] * reflectance[i];
    X += light * X_BAR[i];
    Y += light * Y_BAR[i];
    Z += light * Z_BAR[i];
  }
  return [X, Y, Z];
}

/**
 * Values of a spectrum at other wavelengths: third-degree Lagrange polynomials through the four nearest
 * samples, quadratic in the first and last interval (ASTM E2022's way for 10 and 20 nm data); beyond the ends the end value is held.
 */
export function resample(spectrum: Spectrum, wavelengthsNm: readonly number[]): number[] {
  const { firstNm, stepNm, values } = spectrum;
  return wavelengthsNm.map((nm) => {
    const at = Math.min(values.length - 1, Math.max(0, (nm - firstNm) / stepNm));
    const cell = Math.floor(at);
    if (at === cell) return values[cell];
    const from = Math.max(0, cell - 1);
    const to = Math.min(values.length - 1, cell + 2);
    return lagrange(values, from, to, at);
  });
}

/** The polynomial through values[from..to], read at the fractional index `at`. */
function lagrange(values: readonly number[], from: number, to: number, at: number): number {
  let sum = 0;
  for (let j = from; j <= to; j++) {
    let weight = 1;
    for (let k = from; k <= to; k++) if (k !== j) weight *= (at - k) / (j - k);
    sum += weight * values[j];
  }
  return sum;
}
