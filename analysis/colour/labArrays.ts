/**
 * CIELAB and CIEDE2000 over whole pictures. All arrays are interleaved triples: colour i is [3i, 3i + 1, 3i + 2].
 * The loops hold their arithmetic in line: a call per pixel with floating-point arguments would allocate.
 * The plain forms in lab.ts and deltaE.ts are the reference; tests hold these to them.
 */
import { D50, labCurve } from './lab.ts';
import type { LabD50 } from './lab.ts';

/**
 * CIE's f(t) for 0 ≤ t < 2 by straight lines, one for each of 32768 equal steps: with x = t · LAB_CURVE_SCALE and k its whole
 * part, f = LAB_CURVE[2k] + x · LAB_CURVE[2k + 1]. Where f bends most, just above the knee, a* is 0.0002 off.
 */
export const LAB_CURVE_STEPS = 32768;
export const LAB_CURVE_SCALE = LAB_CURVE_STEPS / 2;
export const LAB_CURVE = new Float32Array(2 * LAB_CURVE_STEPS);
for (let k = 0; k < LAB_CURVE_STEPS; k++) {
  const slope = labCurve((k + 1) / LAB_CURVE_SCALE) - labCurve(k / LAB_CURVE_SCALE);
  LAB_CURVE[2 * k] = labCurve(k / LAB_CURVE_SCALE) - k * slope;
  LAB_CURVE[2 * k + 1] = slope;
}

/** √(C⁷ / (C⁷ + 25⁷)) for 0 ≤ C ≤ 256, where it has come within 10⁻⁷ of 1. */
const CHROMA_SCALE = 16;
const CHROMA_LAST = 256 * CHROMA_SCALE;
const WEIGHT7 = Float32Array.from({ length: CHROMA_LAST + 2 }, (_, i) => {
  const C7 = (i / CHROMA_SCALE) ** 7;
  return Math.sqrt(C7 / (C7 + 25 ** 7));
});

/** sin 2Δθ of eqs 16 and 21 by 1 − cos(h̄ − 275°), for 0..1: beyond 90° from 275° it is below 3·10⁻⁶. */
const TURN_STEPS = 2048;
const TURN = Float32Array.from({ length: TURN_STEPS + 2 }, (_, i) => {
  const away = Math.acos(1 - Math.min(1, i / TURN_STEPS)) / (Math.PI / 180);
  return Math.sin((60 * Math.exp(-((away / 25) ** 2)) * Math.PI) / 180);
});

const cosDeg = (degrees: number): number => Math.cos((degrees * Math.PI) / 180);
const sinDeg = (degrees: number): number => Math.sin((degrees * Math.PI) / 180);
/**
 * T of eq. 15 as a polynomial in c = cos h̄ and s = sin h̄, with cos 2h = 2c² − 1, cos 3h = 4c³ − 3c, cos 4h = 8c⁴ − 8c² + 1,
 * sin 3h = s(4c² − 1), sin 4h = s(8c³ − 4c): T = Σ T_COSk cᵏ + s Σ T_SINk cᵏ.
 */
const T_0 = 1 - 0.24 - 0.2 * cosDeg(63);
const T_1 = -0.17 * cosDeg(30) - 3 * 0.32 * cosDeg(6);
const T_2 = 2 * 0.24 + 8 * 0.2 * cosDeg(63);
const T_3 = 4 * 0.32 * cosDeg(6);
const T_4 = -8 * 0.2 * cosDeg(63);
const T_S0 = -0.17 * sinDeg(30) + 0.32 * sinDeg(6);
const T_S1 = 4 * 0.2 * sinDeg(63);
const T_S2 = -4 * 0.32 * sinDeg(6);
const T_S3 = -8 * 0.2 * sinDeg(63);
const COS_275 = cosDeg(275);
const SIN_275 = sinDeg(275);
/** Sine of the angle (10⁻⁹ degree) within which two hues count as opposite, as in deltaE.ts. */
const OPPOSITE = (1e-9 * Math.PI) / 180;

/** XYZ → CIELAB under D50; Y = 1 for the perfect diffuser. Values above 1 and below 0 are kept. `out` may be `xyz`. */
export function xyzToLabArray(xyz: Float32Array, out: Float32Array): void {
  const lines = LAB_CURVE; // local: an exported name is looked up at every use
  const scale = LAB_CURVE_SCALE;
  const outside = ~(LAB_CURVE_STEPS - 1);
  const toX = scale / D50[0];
  const toZ = scale / D50[2];
  const end = xyz.length - 2;
  for (let i = 0; i < end; i += 3) {
    const x = xyz[i] * toX;
    const y = xyz[i + 1] * scale;
    const z = xyz[i + 2] * toZ;
    const kx = x | 0;
    const ky = y | 0;
    const kz = z | 0;
    let fx: number;
    let fy: number;
    let fz: number;
    if (((kx | ky | kz) & outside) === 0) {
      fx = lines[2 * kx] + x * lines[2 * kx + 1];
      fy = lines[2 * ky] + y * lines[2 * ky + 1];
      fz = lines[2 * kz] + z * lines[2 * kz + 1];
    } else {
      fx = labCurve(x / scale);
      fy = labCurve(y / scale);
      fz = labCurve(z / scale);
    }
    out[i] = 116 * fy - 16;
    out[i + 1] = 500 * (fx - fy);
    out[i + 2] = 200 * (fy - fz);
  }
}

/**
 * ΔE00 of every colour of `lab` (D50, interleaved) against one, into `out` (one value a colour). CIEDE2000 without trigonometry, within 0.0003 of
 * deltaE.ts. With u1, u2 the unit vectors of the two hues, the mean hue is the direction of u1 + u2, ΔH′ follows from cross and dot product, cosines of
 * multiples by recurrence.
 * Source: Sharma, Wu, Dalal (2005), eqs 2–22, kL = kC = kH = 1.
 */
export function deltaE2000Array(lab: Float32Array, reference: LabD50, out: Float32Array): void {
  // Rounded as the array's colours are, so that a colour differs from itself by 0.
  const one = Float32Array.from(reference);
  const count = Math.min(out.length, (lab.length / 3) | 0);
  for (let n = 0, i = 0; n < count; n++, i += 3) {
    const L1 = lab[i];
    const a1 = lab[i + 1];
    const b1 = lab[i + 2];
    const L2 = one[0];
    const a2 = one[1];
    const b2 = one[2];
    const bb1 = b1 * b1;
    const bb2 = b2 * b2;

    let t = (Math.sqrt(a1 * a1 + bb1) + Math.sqrt(a2 * a2 + bb2)) * (0.5 * CHROMA_SCALE); // eqs 2, 3
    if (t > CHROMA_LAST) t = CHROMA_LAST;
    let k = t | 0;
    const stretch = 1.5 - 0.5 * (WEIGHT7[k] + (t - k) * (WEIGHT7[k + 1] - WEIGHT7[k])); // 1 + G, eq. 4
    const a1p = stretch * a1; // eq. 5
    const a2p = stretch * a2;
    const C1p = Math.sqrt(a1p * a1p + bb1); // eq. 6
    const C2p = Math.sqrt(a2p * a2p + bb2);
    const CBarp = 0.5 * (C1p + C2p); // eq. 13
    const dCp = C2p - C1p; // eq. 9
    const dLp = L2 - L1; // eq. 8

    // Hue: c, s = cos h̄′, sin h̄′ (eqs 7, 14); dHp = ΔH′ (eqs 10, 11).
    const product = C1p * C2p;
    const cross = a1p * b2 - b1 * a2p;
    const dot = a1p * a2p + b1 * b2;
    let c = 1;
    let s = 0;
    let dHp = 0;
    if (dot > 0) {
      const half = product + dot;
      const rootProduct = Math.sqrt(product);
      const scale = 1 / (rootProduct * Math.sqrt(2 * half));
      c = (a1p * C2p + a2p * C1p) * scale;
      s = (b1 * C2p + b2 * C1p) * scale;
      dHp = 2 * cross * rootProduct * scale;
    } else if (product > 0) {
      // More than 90° apart: u1 + u2 shrinks and loses digits, so its perpendicular u1 − u2 serves.
      // Opposite to within rounding, eq. 14 as it is written puts the mean 90° on from whichever hue is below 180°.
      let onward = cross > 0;
      if (Math.abs(cross) <= OPPOSITE * product) {
        const below1 = b1 > 0 || (b1 === 0 && a1 > 0);
        const below2 = b2 > 0 || (b2 === 0 && a2 > 0);
        if (below1 !== below2) onward = below1;
      }
      const twice = 2 * (product - dot);
      dHp = onward ? Math.sqrt(twice) : -Math.sqrt(twice);
      const scale = (onward ? 1 : -1) / Math.sqrt(twice * product);
      c = (b2 * C1p - b1 * C2p) * scale;
      s = (a1p * C2p - a2p * C1p) * scale;
    }

    const T = T_0 + c * (T_1 + c * (T_2 + c * (T_3 + c * T_4))) + s * (T_S0 + c * (T_S1 + c * (T_S2 + c * T_S3))); // eq. 15

    // Eq. 16 takes h̄ − 275° as it stands, 0 ≤ h̄ < 360°, so there is no turn from 0° onwards (s > 0).
    let RT = 0;
    const away = 1 - (COS_275 * c + SIN_275 * s);
    if (s < 0 && away < 1) {
      t = CBarp * CHROMA_SCALE;
      if (t > CHROMA_LAST) t = CHROMA_LAST;
      k = t | 0;
      const RC = 2 * (WEIGHT7[k] + (t - k) * (WEIGHT7[k + 1] - WEIGHT7[k])); // eq. 17
      t = away > 0 ? away * TURN_STEPS : 0;
      k = t | 0;
      RT = -RC * (TURN[k] + (t - k) * (TURN[k + 1] - TURN[k])); // eqs 16, 21
    }

    const l = 0.5 * (L1 + L2) - 50; // eq. 12
    const root = Math.sqrt(20 + l * l);
    const SLRoot = root + 0.015 * l * l; // S_L · root, eq. 18
    const SC = 1 + 0.045 * CBarp; // eq. 19
    const SH = 1 + 0.015 * CBarp * T; // eq. 20
    // Eq. 22 over one common denominator.
    const light = dLp * root * SC * SH;
    const chromaTerm = dCp * SH * SLRoot;
    const hueTerm = dHp * SC * SLRoot;
    const sum = light * light + chromaTerm * chromaTerm + hueTerm * hueTerm + RT * chromaTerm * hueTerm;
    out[n] = sum > 0 ? Math.sqrt(sum) / (SLRoot * SC * SH) : 0;
  }
}
