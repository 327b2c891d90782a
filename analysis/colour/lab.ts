/** CIELAB under D50 and the 2° observer, scalar form. Source: CIE 15:2018, eqs 8.3–8.12. */

declare const white: unique symbol;
export type LabD50 = readonly [L: number, a: number, b: number] & { readonly [white]: 'D50' };
/** Tristimulus values relative to the perfect diffuser: Y = 1 for it. */
export type Xyz = readonly [X: number, Y: number, Z: number];

/** CIE 15:2018, 2° observer. */
export const D50: Xyz = [0.96422, 1, 0.82521];
export const D65: Xyz = [0.95047, 1, 1.08883];

/** CIELAB break point (6/29)³; exact, so both branches meet. */
export const LAB_EPSILON = 216 / 24389;
/** CIELAB slope (29/3)³. */
export const LAB_KAPPA = 24389 / 27;

/** Three numbers that are known to be CIELAB under D50, 2°. */
export function labD50(L: number, a: number, b: number): LabD50 {
  // oxlint-disable-next-line typescript/no-unsafe-type-assertion -- the one place where a brand is given
  return [L, a, b] as unknown as LabD50;
}

/** @param xyz under D50, Y = 1 for the perfect diffuser @returns L* 0..100, a*, b* */
export function xyzToLab(xyz: Xyz): LabD50 {
  const [L, a, b] = xyzToLabWhite(xyz, D50);
  return labD50(L, a, b);
}

/** The same against any white, in whose units `xyz` is: an eye that has adapted to a page sees it so. */
export function xyzToLabWhite(xyz: Xyz, white: Xyz): readonly [number, number, number] {
  const fx = labCurve(xyz[0] / white[0]);
  const fy = labCurve(xyz[1] / white[1]);
  const fz = labCurve(xyz[2] / white[2]);
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

/** The way back: XYZ under D50, Y = 1 for the perfect diffuser. */
export function labToXyz(lab: LabD50): Xyz {
  const fy = (lab[0] + 16) / 116;
  const fx = fy + lab[1] / 500;
  const fz = fy - lab[2] / 200;
  return [D50[0] * labCurveInverse(fx), D50[1] * labCurveInverse(fy), D50[2] * labCurveInverse(fz)];
}

/** C*ab = √(a*² + b*²), ≥ 0. */
export function chroma(lab: readonly [number, number, number]): number {
  return Math.hypot(lab[1], lab[2]);
}

/** Hue angle, 0..360°; 0 for a perfect grey, which has none. */
export function hueDeg(lab: readonly [number, number, number]): number {
  const h = (Math.atan2(lab[2], lab[1]) * 180) / Math.PI;
  return h < 0 ? h + 360 : h;
}

/** Signed turn from one hue to another, −180..180°. */
export function hueDifferenceDeg(from: number, to: number): number {
  return ((((to - from + 180) % 360) + 360) % 360) - 180;
}

/** CIE's f(t): cube root, straight below the break point. */
export function labCurve(t: number): number {
  return t > LAB_EPSILON ? Math.cbrt(t) : (LAB_KAPPA * t + 16) / 116;
}

function labCurveInverse(f: number): number {
  return f > 6 / 29 ? f * f * f : (116 * f - 16) / LAB_KAPPA;
}
