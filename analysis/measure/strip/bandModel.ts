/**
 * The shape of one band along the run: a Gaussian, alone or as one of three causes of a tail makes it. Told by moments wherever these
 * hardly depend on each other, so that a fit finds them quickly.
 */
import { erfc, scaledErfc } from './errorFunction.ts';
import { delayedDensity, overloadedDensity } from './sorptionShapes.ts';

/**
 * What makes the tail: nothing; an exponential that drags the Gaussian out, of no cause in particular; places on the paper that fill up, so
 * that much dye runs further than little (a steep front, a tail like a ramp); or slow places that hold a few of the dye's parts back.
 */
export type Tail = 'none' | 'dragged' | 'overloaded' | 'delayed';

export interface BandShape {
  readonly tail: Tail;
  /** Mean place, mm along the run; of a delayed band, that of the parts that nothing held back. */
  readonly meanMm: number;
  /** Standard deviation of the whole shape, mm; of a delayed band, of the parts that nothing held back. */
  readonly sdMm: number;
  /**
   * 'dragged': τ / sd, −0.97..0.97. 'overloaded': ±ln(1 + distortion). Of both, negative is a tail towards the origin and 0 a Gaussian.
   * 'delayed': ln of how often a part of the dye is held back.
   */
  readonly drag: number;
  /** 'delayed': ln of the mean way lost at a time, over sd; else 0. */
  readonly delay: number;
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
  const { tail, meanMm, sdMm, drag } = shape;
  if (tail === 'delayed') return delayedDensity((meanMm - x) / sdMm, Math.exp(drag), Math.exp(shape.delay)) / sdMm;
  const q = Math.abs(drag);
  if (tail === 'none' || q < LEAST_DRAG) {
    const t = (x - meanMm) / sdMm;
    return Math.exp(-0.5 * t * t) / (sdMm * SQRT_2PI);
  }
  // A tail towards the origin is the same curve seen in a mirror at the mean.
  const d = drag > 0 ? x - meanMm : meanMm - x;
  if (tail === 'overloaded') return overloadedDensity(d / sdMm, q) / sdMm;
  const tau = q * sdMm;
  const sigma = sdMm * Math.sqrt(1 - q * q);
  return emgDensity(d, -tau, sigma, tau);
}

/** Writes the shape over equally spaced places firstMm + i·stepMm into `out`, scaled so that a Gaussian's top is 1. */
export function writeShape(shape: BandShape, firstMm: number, stepMm: number, out: Float64Array): void {
  const scale = shape.sdMm * SQRT_2PI;
  // Far from the band all is nothing: an exponential tail dies within 16 of its own lengths, any other sooner.
  const ahead = shape.tail === 'dragged' ? 18 : 9;
  const behind = shape.tail === 'delayed' ? 9 + 18 * Math.exp(shape.delay) : ahead;
  const from = Math.max(0, Math.floor((shape.meanMm - behind * shape.sdMm - firstMm) / stepMm));
  const to = Math.min(out.length, Math.ceil((shape.meanMm + ahead * shape.sdMm - firstMm) / stepMm));
  out.fill(0);
  for (let i = from; i < to; i++) out[i] = scale * shapeDensity(firstMm + i * stepMm, shape);
}
