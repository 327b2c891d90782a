/** Paper's own scatter beside an ink whose step in lightness is no larger: yellow on a grey, fibrous sheet. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, labToXyz } from '../../analysis/colour/lab.ts';
import { smoothedPaperNoise } from '../../analysis/locate/localPaper.ts';
import { shadingStatistic } from '../../analysis/measure/shading.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const PIXELS = 20_000;
const Z90 = 1.2816;

/** @param step of the ink from its mean to one standard deviation paler, Lab @param noise relative, of the paper's light */
function drawn(step: readonly [number, number, number], noise: number, seed = 5) {
  const random = seededRandom(seed);
  const xyz = new Float32Array(3 * PIXELS);
  for (let k = 0; k < PIXELS; k++) {
    const [thin, grain] = [normal(random), 1 + noise * normal(random)];
    const own = labToXyz(labD50(69 + step[0] * thin, -4 + step[1] * thin, 47 + step[2] * thin));
    for (let c = 0; c < 3; c++) xyz[3 * k + c] = own[c] * grain;
  }
  const at = (z: number) => labD50(69 + step[0] * z, -4 + step[1] * z, 47 + step[2] * z);
  const truth = { dE00: deltaE2000(at(-Z90), at(Z90)), dL: 2 * Z90 * step[0] };
  const blocks = { of: Int32Array.from({ length: PIXELS }, (_, k) => Math.floor(k / 100)), count: PIXELS / 100 };
  return { xyz, blocks, truth };
}

describe('an ink’s own step', () => {
  // Of the step between the ends 0, a third, a half and three quarters are paper's.
  test.each([0.0001, 0.0057, 0.0098, 0.017])('is found where paper of scatter %f orders the pixels too', (noise) => {
    const { xyz, blocks, truth } = drawn([0.4, 0, -6.5], noise);
    const { dE00, dL, uRepeat } = shadingStatistic(xyz, blocks, noise, 1);
    expect(Math.abs(dL - truth.dL)).toBeLessThan(0.02);
    // 0.25 at most.
    expect(Math.abs(dE00 - truth.dE00)).toBeLessThan(0.4);
    expect(Math.abs(dE00 - truth.dE00)).toBeLessThan(2 * uRepeat.dE00 + 0.05);
  });

  test('is neither too strong nor too weak in colour, over three sheets of coarse fibres', () => {
    const errors = [5, 6, 7].map((seed) => {
      const { xyz, blocks, truth } = drawn([1.5, 0, -6.5], 0.06, seed);
      return shadingStatistic(xyz, blocks, 0.06, 1).dE00 - truth.dE00;
    });
    // 0.19 of 6.6 too little.
    expect(Math.abs(errors.reduce((a, b) => a + b, 0) / errors.length)).toBeLessThan(0.3);
  });

  test('is none where the ink is even, whatever its colour', () => {
    const { xyz, blocks } = drawn([0, 0, 0], 0.01);
    const { dE00, dL, uRepeat } = shadingStatistic(xyz, blocks, 0.01, 1);
    expect(dL).toBeLessThan(2 * uRepeat.dL);
    expect(dE00).toBeLessThan(2 * uRepeat.dE00);
  });

  test('is as uncertain as the scatter that was taken off: by a tenth more or less of it the truth is held', () => {
    const noise = 0.0098;
    const { xyz, blocks, truth } = drawn([0.4, 0, -6.5], noise);
    for (const wrong of [0.9, 1.1]) {
      const { dL, uRepeat } = shadingStatistic(xyz, blocks, wrong * noise, 1);
      expect(Math.abs(dL - truth.dL)).toBeLessThan(2 * uRepeat.dL);
      expect(Math.abs(dL - truth.dL)).toBeGreaterThan(0.5 * uRepeat.dL);
    }
  });

  test('of an ordinary ink hardly knows of it', () => {
    const { xyz, blocks, truth } = drawn([3, 1, -5], 0.004);
    const plain = shadingStatistic(xyz, blocks, 0, 1);
    const told = shadingStatistic(xyz, blocks, 0.004, 1);
    expect(Math.abs(told.dE00 - plain.dE00)).toBeLessThan(0.003);
    expect(told.uRepeat.dL).toBeLessThan(1.1 * plain.uRepeat.dL + 0.01);
    expect(Math.abs(told.dL - truth.dL)).toBeLessThan(0.15);
  });
});

test('printed dots do not count as the paper’s scatter', () => {
  const [w, h] = [400, 300];
  const random = seededRandom(3);
  const sheet = (dotted: boolean) => {
    const ratio = new Float32Array(3 * w * h);
    for (let i = 0; i < w * h; i++) {
      const isDot = dotted && (i % w) % 60 < 4 && Math.floor(i / w) % 60 < 4;
      const v = (isDot ? 0.6 : 1) * (1 + 0.02 * normal(random));
      ratio.fill(v, 3 * i, 3 * i + 3);
    }
    const mask = { data: new Uint8Array(w * h), widthPx: w, heightPx: h };
    return smoothedPaperNoise({ ratio, mask }, new Uint8Array(w * h).fill(1), 2)!;
  };
  const clean = sheet(false);
  // White noise through a Gaussian along one direction keeps 1 / (2 √π σ) of its variance.
  expect(clean / (0.02 / Math.sqrt(2 * Math.sqrt(Math.PI) * 2))).toBeCloseTo(1, 1);
  expect(sheet(true) / clean).toBeLessThan(1.1);
});
