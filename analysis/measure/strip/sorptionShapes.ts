/**
 * Two shapes that sorption gives a band, each in closed form. Both stand over t, in standard deviations, and have unit area over it; their tail
 * lies towards greater t.
 */
import { erfc, scaledErfc } from './errorFunction.ts';

const SQRT_2PI = Math.sqrt(2 * Math.PI);

/**
 * A band whose paper fills up (parabolic isotherm, the first bend of Langmuir's): with the distortion d, and z in standard deviations of the
 * same band at low dose from where that would stand,
 *   f(z) = φ(z) / (d·(1/(eᵈ − 1) + Φ(z))).
 * Here by its own moments: t counts from the shape's mean in its own standard deviations.
 * Source: Haarhoff & Van der Linde (1966), Anal. Chem. 38, 573–582.
 * @param lnDistortion ln(1 + d), > 0.
 */
export function overloadedDensity(t: number, lnDistortion: number): number {
  const at = Math.min(MOMENTS.length - 1.001, lnDistortion / MOMENT_STEP);
  const i = Math.floor(at);
  const mean = MOMENTS[i].mean + (at - i) * (MOMENTS[i + 1].mean - MOMENTS[i].mean);
  const sd = MOMENTS[i].sd + (at - i) * (MOMENTS[i + 1].sd - MOMENTS[i].sd);
  return sd * overloaded(mean + sd * t, Math.expm1(lnDistortion));
}

function overloaded(z: number, d: number): number {
  const bell = Math.exp(-0.5 * z * z);
  const below = z < 0 ? 0.5 * bell * scaledErfc(-z * Math.SQRT1_2) : 1 - 0.5 * bell * scaledErfc(z * Math.SQRT1_2);
  return bell / (SQRT_2PI * d * (1 / Math.expm1(d) + below));
}

/** Of ln(1 + d), from 0 on; the last is a triangle for all practical purposes. */
const MOMENT_STEP = 0.02;
export const MOST_LN_DISTORTION = 4.6;
/** Mean and standard deviation over z, by the trapezium rule (the shape is smooth and dies at both ends). */
const MOMENTS: readonly { readonly mean: number; readonly sd: number }[] = Array.from(
  { length: Math.round(MOST_LN_DISTORTION / MOMENT_STEP) + 2 },
  (_, k) => {
    const d = Math.expm1(Math.max(1e-6, k * MOMENT_STEP));
    let [area, first, second] = [0, 0, 0];
    for (let z = -6 - Math.sqrt(2 * d); z <= 6; z += 0.2) {
      const f = overloaded(z, d);
      area += f;
      first += f * z;
      second += f * z * z;
    }
    const mean = first / area;
    return { mean, sd: Math.sqrt(second / area - mean * mean) };
  },
);

/**
 * A band of which slow places hold parts back: each part is caught as chance has it (Poisson, `often` times on the way) and loses a stretch that is
 * exponential in length. A Gaussian, then, and the same with one, two, three … such stretches (Erlang) in their shares. t counts from the mean of
 * the parts that nothing held back, in their standard deviations.
 * With G a Gaussian and fₖ the density of G and k stretches of mean ϑ: (t − t₀)·fₖ = (fₖ − fₖ₋₁)/ϑ + k·ϑ·fₖ₊₁ in these units, from which all
 * follow, one from the two before.
 * Source of the picture: Giddings & Eyring (1955), J. Phys. Chem. 59, 416–421.
 * @param often > 0, at most about 5. @param stretch mean length lost at a time, in standard deviations.
 */
export function delayedDensity(t: number, often: number, stretch: number): number {
  let before = Math.exp(-0.5 * t * t) / SQRT_2PI;
  let own = draggedOnce(t, stretch);
  let weight = Math.exp(-often);
  let sum = weight * before;
  for (let k = 1; k <= MOST_DELAYS; k++) {
    weight *= often / k;
    sum += weight * own;
    if (weight < LEAST_WEIGHT) break;
    // Ahead of the band the difference is one of two small numbers: nothing rather than a trace below it.
    const next = Math.max(0, (t * own + (before - own) / stretch) / (k * stretch));
    before = own;
    own = next;
  }
  return sum;
}

const MOST_DELAYS = 14;
const LEAST_WEIGHT = 1e-5;

/** A Gaussian of unit deviation at 0 and one exponential stretch. */
function draggedOnce(t: number, stretch: number): number {
  const z = (1 / stretch - t) * Math.SQRT1_2;
  if (z >= 0) return (Math.exp(-0.5 * t * t) * scaledErfc(z)) / (2 * stretch);
  return (Math.exp(0.5 / (stretch * stretch) - t / stretch) * (2 - erfc(-z))) / (2 * stretch);
}
