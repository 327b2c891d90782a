/**
 * The shape of one band along the run: a Gaussian that a one-sided exponential may have dragged out (exponentially modified Gaussian).
 * Told by its moments instead of (μ, σ, τ): these hardly depend on each other, so a fit finds them quickly.
 */

export interface BandShape {
  /** Mean place, mm along the run. */
  readonly meanMm: number;
  /** Standard deviation of the whole shape, mm. */
  readonly sdMm: number;
  /** τ / sd, −0.97..0.97: negative drags the tail back towards the origin, 0 is a Gaussian. */
  readonly drag: number;
}

const SQRT_2 = Math.SQRT2;
const SQRT_2PI = Math.sqrt(2 * Math.PI);
/** Below this the exponential cannot be told from a shift: the shapes differ by less than 1e-6 of the height. */
const LEAST_DRAG = 0.01;

/**
 * Exponentially modified Gaussian of unit area; τ > 0 drags towards greater x.
 * f(x) = 1/(2τ) · exp(σ²/2τ² − (x − μ)/τ) · erfc((σ/τ − (x − μ)/σ)/√2), in the form that neither overflows nor cancels.
 * Source: Grushka (1972), Anal. Chem. 44(11), 1733–1738; Foley & Dorsey (1984), J. Chromatogr. Sci. 22, 40–46.
 */
export function emgDensity(x: number, mu: number, sigma: number, tau: number): number {
  const t = (x - mu) / sigma;
  const z = (sigma / tau - t) / SQRT_2;
  // For z ≥ 0 the Gaussian is taken out in front and erfcx stays between 0 and 1; for z < 0 the exponent itself is below t²/2.
  if (z >= 0) return (Math.exp(-0.5 * t * t) * scaledErfc(z)) / (2 * tau);
  const ratio = sigma / tau;
  return (Math.exp(0.5 * ratio * ratio - t * ratio) * (2 - erfc(-z))) / (2 * tau);
}

/** Density of a band shape at x, unit area, 1/mm. */
export function shapeDensity(x: number, shape: BandShape): number {
  const { meanMm, sdMm, drag } = shape;
  const q = Math.abs(drag);
  if (q < LEAST_DRAG) {
    const t = (x - meanMm) / sdMm;
    return Math.exp(-0.5 * t * t) / (sdMm * SQRT_2PI);
  }
  const tau = q * sdMm;
  const sigma = sdMm * Math.sqrt(1 - q * q);
  // A tail towards the origin is the same curve seen in a mirror at the mean.
  const d = drag > 0 ? x - meanMm : meanMm - x;
  return emgDensity(d, -tau, sigma, tau);
}

/** Writes the shape over equally spaced places firstMm + i·stepMm into `out`, scaled so that a Gaussian's top is 1. */
export function writeShape(shape: BandShape, firstMm: number, stepMm: number, out: Float64Array): void {
  const scale = shape.sdMm * SQRT_2PI;
  // Far from the band all is nothing: an exponential tail dies within 16 of its own lengths.
  const from = Math.max(0, Math.floor((shape.meanMm - 18 * shape.sdMm - firstMm) / stepMm));
  const to = Math.min(out.length, Math.ceil((shape.meanMm + 18 * shape.sdMm - firstMm) / stepMm));
  out.fill(0);
  for (let i = from; i < to; i++) out[i] = scale * shapeDensity(firstMm + i * stepMm, shape);
}

/** erfc(z) for z ≥ 0. */
function erfc(z: number): number {
  return z > 27 ? 0 : scaledErfc(z) * Math.exp(-z * z);
}

/**
 * exp(z²)·erfc(z) for z ≥ 0, relative error below 1e-13.
 * Source: Cody (1969), Math. Comp. 23, 631–637, rational Chebyshev forms for three ranges.
 */
function scaledErfc(z: number): number {
  if (z <= 0.46875) return Math.exp(z * z) * (1 - z * ratio(z * z, NEAR_TOP, NEAR_BOTTOM));
  if (z <= 4) return ratio(z, MIDDLE_TOP, MIDDLE_BOTTOM);
  const w = 1 / (z * z);
  return (1 / Math.sqrt(Math.PI) - w * ratio(w, FAR_TOP, FAR_BOTTOM)) / z;
}

/** Coefficients from the highest power down. */
function ratio(x: number, top: readonly number[], bottom: readonly number[]): number {
  let p = top[0];
  for (let i = 1; i < top.length; i++) p = p * x + top[i];
  let q = bottom[0];
  for (let i = 1; i < bottom.length; i++) q = q * x + bottom[i];
  return p / q;
}

const NEAR_TOP = [0.18577770618460315, 3.1611237438705655, 113.86415415105016, 377.485237685302, 3209.3775891384694];
const NEAR_BOTTOM = [1, 23.601290952344122, 244.02463793444417, 1282.6165260773723, 2844.236833439171];
const MIDDLE_TOP = [
  2.1531153547440383e-8, 0.5641884969886701, 8.883149794388377, 66.11919063714163, 298.6351381974001, 881.952221241769,
  1712.0476126340707, 2051.0783778260716, 1230.3393547979972,
];
const MIDDLE_BOTTOM = [
  1, 15.744926110709835, 117.6939508913125, 537.1811018620099, 1621.3895745666903, 3290.7992357334597,
  4362.619090143247, 3439.3676741437216, 1230.3393548037495,
];
const FAR_TOP = [
  0.016315387137302097, 0.30532663496123236, 0.36034489994980445, 0.12578172611122926, 0.016083785148742275,
  0.0006587491615298378,
];
const FAR_BOTTOM = [
  1, 2.568520192289822, 1.8729528499234673, 0.5279051029514285, 0.06051834131244132, 0.0023352049762686918,
];
