/** Of long strokes some stretches are measured, from all over them; contrast between pixels is told where they lie. */
import { expect, test } from 'vitest';
import { stretchSample } from '../../analysis/measure/edge/stretchSample.ts';
import { readAlong, tiledSpline } from '../../analysis/measure/edge/tiledSpline.ts';
import { splineAlong, splineCoefficients } from '../../analysis/raster/cubicSpline.ts';

const PX_PER_MM = 600 / 25.4;

function paths(count: number, lengthPx: number) {
  return Array.from({ length: count }, (_, n) => ({
    pixels: Int32Array.from({ length: lengthPx }, (_, k) => n * lengthPx + k),
    freeStart: true,
    freeEnd: true,
  }));
}

test('what is enough is measured whole, uncut, a station at every pixel', () => {
  const { stretches, share } = stretchSample(paths(3, 900), PX_PER_MM, 400);
  expect(share).toBe(1);
  expect(stretches.map(({ pixels, stepPx }) => [pixels.length, stepPx])).toEqual([
    [900, 1],
    [900, 1],
    [900, 1],
  ]);
});

test('of more about as much as is enough, from every tenth of it, up- and downstrokes alike', () => {
  const all = paths(400, 100);
  const { stretches, share } = stretchSample(all, PX_PER_MM, 400);
  expect(share * 40_000).toBeCloseTo(400 * PX_PER_MM, -3);
  const chosen = stretches.map(({ pixels }) => pixels[0] / 100);
  for (let tenth = 0; tenth < 10; tenth++) {
    expect(chosen.filter((n) => Math.floor(n / 40) === tenth).length / 40).toBeCloseTo(share, 1);
  }
  expect(chosen.filter((n) => n % 2 === 0).length / chosen.length).toBeCloseTo(0.5, 1);
});

test('a long stroke is cut into stretches whose cuts are no ends', () => {
  const { stretches } = stretchSample(paths(1, 24_000), PX_PER_MM, 400);
  expect(stretches.length).toBeGreaterThan(12);
  expect(stretches.filter(({ freeStart }) => freeStart).length).toBeLessThan(2);
  expect(Math.min(...stretches.map(({ pixels }) => pixels.length))).toBeGreaterThan(20 * PX_PER_MM);
});

test('a spline made tile by tile is the whole one, also across tiles and at the border', () => {
  const [w, h] = [150, 90];
  const plane = Float32Array.from({ length: w * h }, (_, i) => Math.sin(12.9898 * i));
  const whole = splineCoefficients(plane, w, h);
  const tiles = tiledSpline(plane, w, h);
  const [expected, found] = [new Float64Array(170), new Float64Array(170)];
  let worst = 0;
  for (let y = -2.3; y < h + 3; y += 4.1) {
    readAlong(tiles, -3.7, y, 0.95, 0.03, found, 0, 170);
    splineAlong(whole, w, h, -3.7, y, 0.95, 0.03, expected, 0, 170);
    expect(Array.from(found, Number.isNaN)).toEqual(Array.from(expected, Number.isNaN));
    found.forEach((v, k) => (worst = Math.max(worst, Number.isNaN(v) ? 0 : Math.abs(v - expected[k]))));
  }
  expect(worst).toBeLessThan(1e-4);
});
