/** What a small error of XYZ is to the eye, at one colour: a 3 × 3 matrix whose output has CIEDE2000's length. */
import { D50, LAB_EPSILON, LAB_KAPPA, xyzToLab, type LabD50, type Xyz } from '../colour/lab.ts';

/** Darker than this a residual is weighed as if it were this bright: the slope of Lab at black would let noise rule the fit. */
const DARKEST = 0.004;

/** Row-major G with |G · dXYZ| ≈ ΔE00 between xyz and xyz + dXYZ. */
export function colourMetric(xyz: Xyz): number[] {
  const x: Xyz = [Math.max(xyz[0], DARKEST * D50[0]), Math.max(xyz[1], DARKEST), Math.max(xyz[2], DARKEST * D50[2])];
  const f = [0, 1, 2].map((k) => labSlope(x[k] / D50[k]) / D50[k]);
  const lab = labMetric(xyzToLab(x));
  // dL = 116 fy, da = 500 (fx − fy), db = 200 (fy − fz)
  const jacobian = [0, 116 * f[1], 0, 500 * f[0], -500 * f[1], 0, 0, 200 * f[1], -200 * f[2]];
  const out: number[] = [];
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      out.push(lab[3 * i] * jacobian[j] + lab[3 * i + 1] * jacobian[3 + j] + lab[3 * i + 2] * jacobian[6 + j]);
    }
  }
  return out;
}

/** Row-major, |labMetric · (dL, da, db)| ≈ ΔE00 for small steps. */
export function labMetric(lab: LabD50): number[] {
  const { SL, SC, SH, G, u, v } = scales(lab);
  return [1 / SL, 0, 0, 0, ((1 + G) * u) / SC, v / SC, 0, (-(1 + G) * v) / SH, u / SH];
}

/** What one ΔE00 of lightness, of chroma and of hue is in L* and in (a*, b*), at one colour. */
export function lchAxes(lab: LabD50): {
  readonly lightness: number;
  readonly chroma: readonly [a: number, b: number];
  readonly hue: readonly [a: number, b: number];
} {
  const { SL, SC, SH, G, u, v } = scales(lab);
  return { lightness: SL, chroma: [(SC * u) / (1 + G), SC * v], hue: [(-SH * v) / (1 + G), SH * u] };
}

/**
 * Weighting functions and the direction of hue (u, v).
 * Source: Sharma, Wu & Dalal 2005, eqs 2–21; the rotation term is left out (it matters for blues only, by a tenth or two).
 */
function scales([L, a, b]: LabD50): Record<'SL' | 'SC' | 'SH' | 'G' | 'u' | 'v', number> {
  const C = Math.hypot(a, b);
  const G = 0.5 * (1 - Math.sqrt(C ** 7 / (C ** 7 + 25 ** 7)));
  const aPrime = (1 + G) * a;
  const cPrime = Math.hypot(aPrime, b);
  const h = Math.atan2(b, aPrime);
  const T =
    1 -
    0.17 * Math.cos(h - Math.PI / 6) +
    0.24 * Math.cos(2 * h) +
    0.32 * Math.cos(3 * h + Math.PI / 30) -
    0.2 * Math.cos(4 * h - (63 * Math.PI) / 180);
  const [u, v] = cPrime > 1e-9 ? [aPrime / cPrime, b / cPrime] : [1, 0];
  return {
    SL: 1 + (0.015 * (L - 50) ** 2) / Math.sqrt(20 + (L - 50) ** 2),
    SC: 1 + 0.045 * cPrime,
    SH: 1 + 0.015 * cPrime * T,
    G,
    u,
    v,
  };
}

function labSlope(t: number): number {
  return t > LAB_EPSILON ? 1 / (3 * Math.cbrt(t) ** 2) : LAB_KAPPA / 116;
}
