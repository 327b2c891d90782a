/** A curve through greys that each have an error, and a device's own curve that is no power law. */
import { expect, test } from 'vitest';
import { curveFunction } from '../../analysis/calibrate/toneCurve.ts';
import { bent, evened } from '../../analysis/film/bend.ts';
import { waveOf } from '../../analysis/film/smoothTone.ts';

const device = Array.from({ length: 16 }, (_, i) => 0.1 + (0.85 * i) / 15);
const law = (d: number): number => 0.95 * d ** 2.2;
const through = (error: (i: number) => number) => ({
  device,
  linear: device.map((d, i) => law(d) * (1 + error(i))),
  exponent: 2.2,
  flare: 0,
});
const between = [0.37, 0.42, 0.55, 0.63, 0.71, 0.86];

test('greys’ errors of half a percent go from the curve between and at them, and the dark stays as it was', () => {
  const curve = through((i) => 0.005 * Math.cos(2.3 * i));
  const at = curveFunction(curve);
  const wave = waveOf(curve, at)!;
  const off = (of: (d: number) => number): number =>
    Math.sqrt(between.reduce((sum, d) => sum + Math.log(of(d) / law(d)) ** 2, 0) / between.length);
  const was = off(at);
  expect(was).toBeGreaterThan(0.002);
  expect(off((d) => evened(at(d), wave))).toBeLessThan(0.6 * was);
  expect(evened(0.01, wave)).toBe(0.01);
  // A bend takes it off first.
  expect(bent(at(0.55), { coefficients: [0, 0, 0, 0], range: [0, 1], wave })).toBe(evened(at(0.55), wave));
});

test('a device whose own curve is far from any law keeps it, and so does one known by few greys', () => {
  const stepped = through((i) => (i > 8 ? 0.15 : 0));
  expect(waveOf(stepped, curveFunction(stepped))).toBeNull();
  const few = { ...through(() => 0), device: device.slice(0, 6), linear: device.slice(0, 6).map(law) };
  expect(waveOf(few, curveFunction(few))).toBeNull();
});
