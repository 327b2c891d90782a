/** The complement of the error function, and the same scaled so that its far tail stays a number. */

/** erfc(z) for z ≥ 0. */
export function erfc(z: number): number {
  return z > 27 ? 0 : scaledErfc(z) * Math.exp(-z * z);
}

/**
 * exp(z²)·erfc(z) for z ≥ 0, relative error below 1e-13.
 * Source: Cody (1969), Math. Comp. 23, 631–637, rational Chebyshev forms for three ranges.
 */
export function scaledErfc(z: number): number {
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
