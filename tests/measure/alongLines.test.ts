/** What is read along lines in a quicker order gives the very figures of the plain one. */
import { expect, test } from 'vitest';
import { localPath, pathFits } from '../../analysis/measure/edge/localFit.ts';
import { smoothed } from '../../analysis/measure/edge/smoothAlongLine.ts';
import { gaussianKernel } from '../../analysis/raster/gaussian.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

const N = 400;

test('only what a changed weight reaches is fitted anew: all is as if it had been', () => {
  const random = seededRandom(31);
  const x = Float64Array.from({ length: N }, (_, i) => i + 0.2 * random());
  const y = Float64Array.from({ length: N }, (_, i) => 5 * Math.sin(i / 40) + 0.3 * random());
  const half = Float64Array.from({ length: N }, (_, i) => 8 + 6 * Math.sin(i / 60));
  const weight = new Float64Array(N).fill(1);
  const fits = pathFits(N);
  localPath(x, y, half, weight, null, fits);
  const before = fits.outY.slice();
  const changes = new Int32Array(N + 1);
  for (let i = 0; i < N; i++) {
    // A gap too long for any fit, and two single places, one of them the last.
    const out = (i > 120 && i < 160) || i === 300 || i === N - 1;
    if (out) weight[i] = 0;
    changes[i + 1] = changes[i] + (out ? 1 : 0);
  }
  localPath(x, y, half, weight, changes, fits);
  const whole = pathFits(N);
  localPath(x, y, half, weight, null, whole);
  expect(fits).toEqual(whole);
  expect([before[140], fits.outY[140]].map(Number.isNaN)).toEqual([false, true]);
  expect(fits.outY[220]).toBe(before[220]);
  expect(fits.outY[300]).not.toBe(before[300]);
});

test.each([0.4, 2, 4.7])('a Gaussian mean of sigma %s leaves out what is missing', (sigma) => {
  const random = seededRandom(32);
  const values = Float64Array.from({ length: 150 }, (_, i) =>
    (i > 60 && i < 100 && i % 7 === 0) || i === 149 ? NaN : random(),
  );
  values.fill(NaN, 110, 145);
  const kernel = gaussianKernel(sigma);
  const plain = values.map((_, i) => {
    let [sum, weight] = [0, 0];
    values.forEach((v, k) => {
      const w = kernel[Math.abs(k - i)] ?? 0;
      if (Number.isNaN(v) || w === 0) return;
      sum += w * v;
      weight += w;
    });
    return weight > 0 ? sum / weight : NaN;
  });
  const means = smoothed(values, sigma);
  expect(means).toEqual(plain);
  expect([means.findIndex(Number.isNaN) > 110, Number.isNaN(means[128])]).toEqual([true, true]);
});
