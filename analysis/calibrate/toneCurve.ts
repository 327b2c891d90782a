/** A tone curve at work: device value 0..1 → linear signal, between its knots and beyond them. */
import type { ToneCurve } from './calibration.ts';
import { hermite, monotoneSlopes } from './monotoneCubic.ts';

/**
 * Between the knots: monotone cubic in linear^(1/exponent), where a device's curve is nearly straight.
 * Beyond the lightest knot: straight in that space, with the slope that the curve has there.
 * Below the darkest knot likewise, but never under 0: inks are often darker than the darkest grey of a printed target.
 */
export function curveFunction(curve: ToneCurve): (device: number) => number {
  const x = curve.device;
  const power = curve.exponent;
  const y = curve.linear.map((value) => rootOf(value, power));
  const slopes = monotoneSlopes(x, y);
  const last = x.length - 1;
  return (device) => {
    let root: number;
    if (device <= x[0]) root = y[0] + slopes[0] * (device - x[0]);
    else if (device >= x[last]) root = y[last] + slopes[last] * (device - x[last]);
    else root = hermite(x, y, slopes, pieceOf(x, device), device);
    return root > 0 ? Math.pow(root, power) : 0;
  };
}

/** The curve at every device value of a scan: 256 or 65 536 entries. */
export function curveTable(curve: ToneCurve, bits: 8 | 16): Float32Array {
  const top = bits === 8 ? 255 : 65535;
  const at = curveFunction(curve);
  return Float32Array.from({ length: top + 1 }, (_, value) => at(value / top));
}

function rootOf(value: number, power: number): number {
  return value > 0 ? Math.pow(value, 1 / power) : 0;
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
