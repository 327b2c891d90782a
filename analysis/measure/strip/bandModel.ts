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

const NEAR_TOP = [
  1.85777706184603153e-1, 3.1611237438705656, 1.1386415415105016e2, 3.77485237685302021e2, 3.20937758913846947e3,
];
const NEAR_BOTTOM = [1, 2.36012909523441209e1, 2.44024637934444173e2, 1.28261652607737228e3, 2.84423683343917062e3];
const MIDDLE_TOP = [
  2.15311535474403846e-8, 5.64188496988670089e-1, 8.88314979438837594, 6.61191906371416295e1, 2.98635138197400131e2,
  8.8195222124176909e2, 1.71204761263407058e3, 2.05107837782607147e3, 1.23033935479799725e3,
];
const MIDDLE_BOTTOM = [
  1, 1.57449261107098347e1, 1.17693950891312499e2, 5.37181101862009858e2, 1.62138957456669019e3, 3.29079923573345963e3,
  4.36261909014324716e3, 3.43936767414372164e3, 1.23033935480374942e3,
];
const FAR_TOP = [
  1.63153871373020978e-2, 3.05326634961232344e-1, 3.60344899949804439e-1, 1.25781726111229246e-1,
  1.60837851487422766e-2, 6.58749161529837803e-4,
];
const FAR_BOTTOM = [
  1, 2.56852019228982242, 1.87295284992346725, 5.27905102951428412e-1, 6.05183413124413191e-2, 2.33520497626869185e-3,
];
