/** Colour differences of two CIELAB colours, scalar form. The array form without trigonometry is labArrays.ts. */
import type { LabD50 } from './lab.ts';

const RAD = Math.PI / 180;
const C25_7 = 25 ** 7;
/** Hues this close to opposite count as exactly opposite; rounding in atan2 must not choose the side. */
const OPPOSITE_DEG = 1e-9;

/**
 * CIEDE2000 difference ΔE00, dimensionless, ≥ 0; the order of the two colours does not matter.
 * ΔE00 was fitted to small differences (below about 5): between a black and a pale ink it still
 * ranks, but it is no longer a count of just visible steps.
 * It jumps where the two hues are exactly opposite (Sharma, Wu, Dalal, section "Mathematical discontinuities").
 * @param lab1 [L* 0..100, a*, b*] under D50, 2° observer. @param lab2 The same.
 * Source: Sharma, Wu, Dalal (2005), Color Res. Appl. 30(1), 21–30, eqs 2–22, kL = kC = kH = 1.
 */
export function deltaE2000(lab1: LabD50, lab2: LabD50): number {
  const [L1, a1, b1] = lab1;
  const [L2, a2, b2] = lab2;
  const CBar = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2; // eqs 2, 3
  const G = 0.5 * (1 - weight7(CBar)); // eq. 4
  const a1p = (1 + G) * a1; // eq. 5
  const a2p = (1 + G) * a2;
  const C1p = Math.hypot(a1p, b1); // eq. 6
  const C2p = Math.hypot(a2p, b2);
  const h1p = hue(a1p, b1); // eq. 7
  const h2p = hue(a2p, b2);

  const dLp = L2 - L1; // eq. 8
  const dCp = C2p - C1p; // eq. 9
  const neutral = C1p * C2p === 0;
  const apart = Math.abs(h1p - h2p) > 180 + OPPOSITE_DEG; // the shorter way round crosses 0°
  let dhp = neutral ? 0 : h2p - h1p; // eq. 10
  if (!neutral && apart) dhp += dhp > 0 ? -360 : 360;
  const dHp = 2 * Math.sqrt(C1p * C2p) * Math.sin((dhp / 2) * RAD); // eq. 11

  const LBarp = (L1 + L2) / 2; // eq. 12
  const CBarp = (C1p + C2p) / 2; // eq. 13
  let hBarp = neutral ? h1p + h2p : (h1p + h2p) / 2; // eq. 14
  if (!neutral && apart) hBarp += h1p + h2p < 360 ? 180 : -180;
  const T =
    1 -
    0.17 * Math.cos((hBarp - 30) * RAD) +
    0.24 * Math.cos(2 * hBarp * RAD) +
    0.32 * Math.cos((3 * hBarp + 6) * RAD) -
    0.2 * Math.cos((4 * hBarp - 63) * RAD); // eq. 15
  const dTheta = 30 * Math.exp(-(((hBarp - 275) / 25) ** 2)); // eq. 16
  const RC = 2 * weight7(CBarp); // eq. 17
  const L50 = (LBarp - 50) ** 2;
  const SL = 1 + (0.015 * L50) / Math.sqrt(20 + L50); // eq. 18
  const SC = 1 + 0.045 * CBarp; // eq. 19
  const SH = 1 + 0.015 * CBarp * T; // eq. 20
  const RT = -Math.sin(2 * dTheta * RAD) * RC; // eq. 21
  const l = dLp / SL;
  const c = dCp / SC;
  const h = dHp / SH;
  return Math.sqrt(Math.max(0, l * l + c * c + h * h + RT * c * h)); // eq. 22
}

/** √(C⁷ / (C⁷ + 25⁷)), the weight in eqs 4 and 17. */
function weight7(C: number): number {
  const C7 = C ** 7;
  return Math.sqrt(C7 / (C7 + C25_7));
}

/** Hue angle 0..360°, 0 for a neutral. */
function hue(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const h = Math.atan2(b, a) / RAD;
  return h < 0 ? h + 360 : h;
}
