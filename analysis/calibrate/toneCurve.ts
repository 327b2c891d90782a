/** A tone curve at work: device value 0..1 → linear signal, between its knots and beyond them. */
import type { ToneCurve } from './calibration.ts';
import { hermite, monotoneSlopes } from './monotoneCubic.ts';

/** Share of the knots' range whose knots fix the straight line beyond an end. */
const END_SPAN = 0.2;

/**
 * Between the knots: monotone cubic in (linear + flare)^(1/exponent), where a device's curve is nearly straight.
 * Beyond the last knot at either end: straight in that space, through the end knot and by least squares along the
 * knots next to it. One interval alone would carry the error of two greys far: with references good to 0.3 L*,
 * inks at a third of the darkest grey's light then miss by 2.7 L*, with this line by 0.5.
 * Never below 0: inks are often darker than the darkest grey of a printed target, but not darker than black.
 */
export function curveFunction(curve: ToneCurve): (device: number) => number {
  const { device: x, exponent, flare } = curve;
  const y = curve.linear.map((value) => Math.pow(Math.max(value + flare, 0), 1 / exponent));
  const slopes = monotoneSlopes(x, y);
  const last = x.length - 1;
  const toeSlope = endSlope(x, y, 0, 1);
  const shoulderSlope = endSlope(x, y, last, -1);
  return (device) => {
    let root: number;
    if (device <= x[0]) root = y[0] + toeSlope * (device - x[0]);
    else if (device >= x[last]) root = y[last] + shoulderSlope * (device - x[last]);
    else root = hermite(x, y, slopes, pieceOf(x, device), device);
    const linear = root > 0 ? Math.pow(root, exponent) - flare : 0;
    return linear > 0 ? linear : 0;
  };
}

/** Of three channels; where they share one curve, one function. */
export function curveFunctions(
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): [(device: number) => number, (device: number) => number, (device: number) => number] {
  const [red, green, blue] = curves;
  const first = curveFunction(red);
  const again = (curve: ToneCurve): ((device: number) => number) => (isSame(curve, red) ? first : curveFunction(curve));
  return [first, again(green), again(blue)];
}

function isSame(a: ToneCurve, b: ToneCurve): boolean {
  return (
    a.exponent === b.exponent &&
    a.flare === b.flare &&
    a.device.length === b.device.length &&
    a.device.every((v, i) => v === b.device[i] && a.linear[i] === b.linear[i])
  );
}

/** Of three channels; where they share one curve, one table. */
export function curveTables(
  [red, green, blue]: readonly [ToneCurve, ToneCurve, ToneCurve],
  bits: 8 | 16,
): [Float32Array, Float32Array, Float32Array] {
  const first = curveTable(red, bits);
  const again = (curve: ToneCurve): Float32Array => (isSame(curve, red) ? first : curveTable(curve, bits));
  return [first, again(green), again(blue)];
}

/** The curve at every device value of a scan: 256 or 65 536 entries. */
export function curveTable(curve: ToneCurve, bits: 8 | 16): Float32Array {
  const top = bits === 8 ? 255 : 65535;
  const at = curveFunction(curve);
  return Float32Array.from({ length: top + 1 }, (_, value) => at(value / top));
}

/** Least-squares slope through the end knot over its neighbours: at least two, where there are two. */
function endSlope(x: readonly number[], y: readonly number[], end: number, step: 1 | -1): number {
  const reach = END_SPAN * (x[x.length - 1] - x[0]);
  let xy = 0;
  let xx = 0;
  for (let i = end + step, count = 0; i >= 0 && i < x.length; i += step, count++) {
    const dx = x[i] - x[end];
    if (count >= 2 && Math.abs(dx) > reach) break;
    xy += dx * (y[i] - y[end]);
    xx += dx * dx;
  }
  return xy / xx;
}

function pieceOf(x: readonly number[], at: number): number {
  let low = 0;
  let high = x.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle] <= at) low = middle;
    else high = middle;
  }
  return low;
}
