/** A curve through greys that each have an error, and a device's own curve that is no law. */
import { expect, test } from 'vitest';
import { curveFunction } from '../../analysis/calibrate/toneCurve.ts';
import { srgbDecode } from '../../analysis/colour/srgb.ts';
import { bent, evened } from '../../analysis/film/bend.ts';
import { waveOf } from '../../analysis/film/smoothTone.ts';

const device = Array.from({ length: 16 }, (_, i) => 0.1 + (0.85 * i) / 15);
const law = (d: number): number => 0.95 * d ** 2.2;
const through = (error: (i: number) => number, of = law) => ({
  device,
  linear: device.map((d, i) => of(d) * (1 + error(i))),
  exponent: 2.2,
  flare: 0,
});
const waves = (i: number): number => 0.005 * Math.cos(2.3 * i);
const between = [0.37, 0.42, 0.55, 0.63, 0.71, 0.86];

function off(of: (d: number) => number, true_: (d: number) => number, at: readonly number[] = between): number {
  return Math.sqrt(at.reduce((sum, d) => sum + Math.log(of(d) / true_(d)) ** 2, 0) / at.length);
}

test('greys’ errors of half a percent go from the curve, between them and beyond the darkest', () => {
  const curve = through(waves);
  const at = curveFunction(curve);
  const wave = waveOf(curve, at)!;
  expect(off(at, law)).toBeGreaterThan(0.002);
  expect(off((d) => evened(at(d), wave), law)).toBeLessThan(0.4 * off(at, law));
  const dark = [0.05, 0.07, 0.09];
  expect(off(at, law, dark)).toBeGreaterThan(0.005);
  expect(off((d) => evened(at(d), wave), law, dark)).toBeLessThan(0.5 * off(at, law, dark));
  // A bend takes it off first, and adds its offset in the end.
  const bend = { coefficients: [0, 0, 0, 0], range: [0, 1] as const, wave };
  expect(bent(at(0.55), bend)).toBe(evened(at(0.55), wave));
  expect(bent(at(0.55), { ...bend, offset: -0.01 })).toBeCloseTo(evened(at(0.55), wave) - 0.01, 12);
});

test('stray light and a law that is not quite a power keep their form', () => {
  for (const of of [(d: number) => 0.97 * d ** 1.9 - 0.004, (d: number) => 0.96 * srgbDecode(d)]) {
    const curve = through(waves, of);
    const at = curveFunction(curve);
    const wave = waveOf(curve, at)!;
    expect(off((d) => evened(at(d), wave), of)).toBeLessThan(0.7 * off(at, of));
  }
});

test('a device whose own curve is far from the law loses its greys’ waves alone', () => {
  const own = (d: number): number => law(d + 0.9 * d * (1 - d) * (0.5 - d));
  const curve = through(waves, own);
  const at = curveFunction(curve);
  const wave = waveOf(curve, at)!;
  expect(off((d) => evened(at(d), wave), own)).toBeLessThan(0.75 * off(at, own));
});

test('a device whose curve jumps keeps it, and so does one known by few greys', () => {
  const stepped = through((i) => (i > 8 ? 0.15 : 0));
  expect(waveOf(stepped, curveFunction(stepped))).toBeNull();
  const few = { ...through(() => 0), device: device.slice(0, 4), linear: device.slice(0, 4).map(law) };
  expect(waveOf(few, curveFunction(few))).toBeNull();
});

test('what follows a law within 1.2 % is evened by it, beyond the darkest grey too; what follows none, within 1.5 % of a polynomial', () => {
  const waved = (amplitude: number, of: (d: number) => number) => {
    const curve = through((i) => amplitude * Math.cos(2.3 * i), of);
    const at = curveFunction(curve);
    const wave = waveOf(curve, at);
    return wave === null ? 'none' : wave.signals[0] < 0.9 * at(device[0]) ? 'law' : 'polynomial';
  };
  // Root mean square: the amplitude over √2.
  expect([0.014, 0.02].map((amplitude) => waved(amplitude, law))).toEqual(['law', 'polynomial']);
  const own = (d: number): number => law(d + 0.9 * d * (1 - d) * (0.5 - d));
  expect([0.014, 0.03].map((amplitude) => waved(amplitude, own))).toEqual(['polynomial', 'none']);
});
