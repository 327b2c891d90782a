/** The doses of a region from its pixels: bins by density, their means, noise that makes no bins, and the ends that shading lies between. */
import { describe, expect, test } from 'vitest';
import { type RegionDoses, regionDoses } from '../../analysis/measure/film/doses.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const PAPER = [0.9, 0.85, 0.7] as const;
/** A blue ink: takes red away most. */
const K = [1.4, 0.9, 0.3] as const;
const ratioAt = (dose: number) => K.map((k) => Math.exp(-k * dose));

interface Drawn {
  readonly doses: readonly number[];
  /** Relative scatter of pixels, and what smoothing leaves of it. */
  readonly noise?: number;
  readonly smoothNoise?: number;
  readonly clipped?: (pixel: number) => boolean;
}

function drawn({ doses, noise = 0, smoothNoise = 0, clipped = () => false }: Drawn): RegionDoses {
  const random = seededRandom(11);
  const ratio = new Float32Array(3 * doses.length);
  const smoothRatio = new Float32Array(3 * doses.length);
  doses.forEach((dose, k) => {
    const left = smoothNoise * normal(random);
    const fine = noise * normal(random);
    ratioAt(dose).forEach((r, c) => {
      smoothRatio[3 * k + c] = r * (1 + left);
      ratio[3 * k + c] = r * (1 + left + fine);
    });
  });
  return regionDoses({
    ratio,
    smoothRatio,
    clipped: marksOf(doses.length, clipped),
    paper: PAPER,
    paperNoise: smoothNoise,
  });
}

function marksOf(pixels: number, clipped: (pixel: number) => boolean): Uint8Array {
  return Uint8Array.from({ length: pixels }, (_, k) => Number(clipped(k)));
}

const graded = Array.from({ length: 20_000 }, (_, i) => 0.3 + (2.1 * i) / 20_000);
const even = (dose: number) => Array.from({ length: 8_000 }, () => dose);

test('a graded swab makes a dozen bins or fewer, from pale to dense, whose shares make the whole', () => {
  const { bins } = drawn({ doses: graded, noise: 0.03, smoothNoise: 0.005 });
  expect(bins.length).toBeGreaterThanOrEqual(8);
  expect(bins.length).toBeLessThanOrEqual(12);
  bins.slice(1).forEach(({ signal }, b) => expect(signal[0]).toBeLessThan(bins[b].signal[0]));
  expect(bins.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  for (const { spread } of bins) expect(spread).toBeLessThan(0.1);
});

test('each bin’s signals are those of one dose on the reference paper, within the bend of so short a piece', () => {
  for (const { signal } of drawn({ doses: graded, noise: 0.03 }).bins) {
    const dose = -Math.log(signal[0] / PAPER[0]) / K[0];
    ratioAt(dose).forEach((r, c) => expect(signal[c] / (r * PAPER[c])).toBeCloseTo(1, 2));
  }
});

test('all bins together have the mean of all pixels', () => {
  const { bins } = drawn({ doses: graded });
  const mean = graded.reduce((sum, dose) => sum + ratioAt(dose)[0] * PAPER[0], 0) / graded.length;
  expect(bins.reduce((sum, { share, signal }) => sum + share * signal[0], 0)).toBeCloseTo(mean, 5);
});

describe('an even swab is one dose', () => {
  test.each([0.1, 0.4, 1.5])('of %f, however pale and noisy', (dose) => {
    const { bins } = drawn({ doses: even(dose), noise: 0.04, smoothNoise: 0.012 });
    expect(bins).toHaveLength(1);
    ratioAt(dose).forEach((r, c) => expect(bins[0].signal[c] / (r * PAPER[c])).toBeCloseTo(1, 2));
  });

  test('but a scatter that the paper does not have is doses', () => {
    const doses = even(1).map((dose, i) => dose * (i % 2 === 0 ? 0.8 : 1.25));
    expect(drawn({ doses, smoothNoise: 0.002 }).bins.length).toBeGreaterThan(1);
  });
});

test('clipped pixels count in no mean and are told', () => {
  const doses = [...even(0.5), ...even(2)];
  const { bins } = drawn({ doses, clipped: (pixel) => pixel >= 12_000 });
  const last = bins[bins.length - 1];
  expect(last.clippedShare).toBeCloseTo(0.5, 2);
  expect(bins[0].clippedShare).toBe(0);
  expect(last.signal[0] / (ratioAt(2)[0] * PAPER[0])).toBeCloseTo(1, 3);
  const all = drawn({ doses, clipped: () => true });
  expect(all.bins).toHaveLength(1);
  expect(all.bins[0].clippedShare).toBe(1);
});

test('dark and light are the mean signals about the 10th and the 90th percentile of lightness', () => {
  const { dark, light } = drawn({ doses: graded });
  const at = (share: number) => 0.3 + 2.1 * share;
  // The light end lies at the thin doses.
  [dark, light].forEach((signal, end) => {
    const exact = ratioAt(at(end === 0 ? 0.9 : 0.1));
    exact.forEach((r, c) => expect(signal[c] / (r * PAPER[c])).toBeCloseTo(1, 2));
  });
});

test('a yellow ink, which lightness hardly tells, is parted by its blue', () => {
  const doses = graded;
  const ratio = new Float32Array(3 * doses.length);
  doses.forEach((dose, k) => [0.001, 0.02, 1.2].forEach((k3, c) => (ratio[3 * k + c] = Math.exp(-k3 * dose))));
  const { bins } = regionDoses({
    ratio,
    smoothRatio: ratio,
    clipped: new Uint8Array(ratio.length / 3),
    paper: PAPER,
    paperNoise: 0.003,
  });
  expect(bins.length).toBeGreaterThan(5);
});
