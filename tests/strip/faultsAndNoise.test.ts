/** A strip's faults, its noise and its crowns, each on profiles made up for it. */
import { describe, expect, test } from 'vitest';
import { refinedApex } from '../../analysis/measure/strip/apex.ts';
import type { FitData } from '../../analysis/measure/strip/bandFit.ts';
import { whitening } from '../../analysis/measure/strip/noise.ts';
import type { StripProfile } from '../../analysis/measure/strip/profile.ts';
import { colouredAtEnd, colouredBelowOrigin, findShadow, unshaded } from '../../analysis/measure/strip/stripFaults.ts';

const BINS = 200;
const BIN_MM = 0.4;
type Triple = readonly [number, number, number];

const planar = (at: (bin: number, channel: number) => number) =>
  Float64Array.from({ length: 3 * BINS }, (_, k) => at(k % BINS, Math.floor(k / BINS)));

describe('a shadow across the strip', () => {
  const light: Triple = [0.8, 0.78, 0.7];
  /** From bin 100 on these densities more. */
  const stepped = (steps: Triple) => planar((i, c) => light[c] * (i >= 100 ? 10 ** -steps[c] : 1));
  const profile = (paper: Triple, more: Partial<StripProfile> = {}): StripProfile => {
    const all = stepped(paper);
    const clippedShare = new Float64Array(BINS);
    return {
      bins: BINS,
      binMm: BIN_MM,
      firstMm: 0,
      lane: all,
      side: all,
      edge: all,
      margins: [all, all],
      laneMm2: 1,
      sideMm2: 1,
      clippedShare,
      ...more,
    };
  };

  test('is by how much light is less beyond its edge, from 0.03 on', () => {
    const found = findShadow(profile([0.05, 0.05, 0.05]))!;
    expect(found.shade[20]).toBeCloseTo(0, 9);
    expect(found.shade[180]).toBeCloseTo(0.05, 9);
    expect(found.shade[97]).toBeCloseTo(0, 9);
    expect(found.shade[103]).toBeCloseTo(0.05, 9);
    expect(findShadow(profile([0.026, 0.026, 0.026]))).toBeNull();
    // Light that is more beyond it leaves the part before it in shadow.
    const before = findShadow(profile([-0.05, -0.05, -0.05]))!;
    expect([before.shade[20], before.shade[180]]).toEqual([expect.closeTo(0.05, 9), expect.closeTo(0, 9)]);
  });

  test('is grey within two fifths', () => {
    expect(findShadow(profile([0.065, 0.05, 0.035]))).not.toBeNull();
    expect(findShadow(profile([0.075, 0.05, 0.025]))).toBeNull();
  });

  test('lies on the lane as well, where no paper beside it is seen', () => {
    const steps: Triple = [0.05, 0.05, 0.05];
    expect(findShadow(profile(steps, { side: null }))).not.toBeNull();
    expect(findShadow(profile(steps, { side: null, lane: stepped([0.015, 0.015, 0.015]) }))).toBeNull();
    expect(findShadow(profile(steps, { lane: stepped([0, 0, 0]) }))).not.toBeNull();
  });

  test('is taken out of every signal', () => {
    const shaded = profile([0.05, 0.05, 0.05]);
    const lit = unshaded(shaded, findShadow(shaded)!);
    for (const values of [lit.lane, lit.edge, ...lit.margins, lit.side!]) {
      [20, 180].forEach((i) => light.forEach((v, c) => expect(values[c * BINS + i]).toBeCloseTo(v, 6)));
    }
  });
});

describe('colour where none should be', () => {
  /** The sum of three channels of a band of height 1 about bin 120, and of what lies from and to some bins. */
  const density = (from: number, to: number, height: number, band = 1) =>
    planar((i) => (band * Math.exp(-0.5 * ((i - 120) / 12) ** 2)) / 3 + (i >= from && i < to ? height / 3 : 0));

  test('at the end of what is seen: from 0.03, 8 % of the most and eight times the noise on', () => {
    const end = (height: number, band: number, noise = 0) =>
      colouredAtEnd(density(190, BINS, height, band), BINS, BIN_MM, noise);
    expect([end(0.028, 0.1), end(0.032, 0.1)]).toEqual([false, true]);
    expect([end(0.072, 1), end(0.085, 1)]).toEqual([false, true]);
    expect([end(0.05, 0.1, 0.007), end(0.05, 0.1, 0.006)]).toEqual([false, true]);
  });

  test('on the liquid’s side of the origin, beyond a spot’s reach of 3.5 mm: from 3 % of all on', () => {
    const where = { bins: BINS, firstMm: 0, binMm: BIN_MM };
    // The origin at 20 mm: up to bin 41.
    const below = (from: number, to: number, height: number, noise = 1e-4) =>
      colouredBelowOrigin(density(from, to, height), where, 20, noise);
    // The band holds 12 √(2π) = 30.1 in all: 40 bins of 0.04 are 1.6 of 31.7, ten of them 0.4 of 30.5.
    expect([below(0, 40, 0.04), below(0, 10, 0.04)]).toEqual([true, false]);
    expect(below(0, 40, 0.028)).toBe(false);
    expect(below(43, 60, 0.2)).toBe(false);
    // Six standard deviations of forty bins' sum.
    expect([below(0, 40, 0.04, 0.045), below(0, 40, 0.04, 0.038)]).toEqual([false, true]);
  });
});

test('whitened, a bin’s densities have unit variance: chance, marks, and what shapes and colours stray by', () => {
  const covariance = Float64Array.from([4e-5, 2e-5, 1e-5, 2e-5, 3e-5, 1e-5, 1e-5, 1e-5, 2e-5]);
  const density = planar((_, c) => [0.3, -0.1, 0.1][c]);
  const marks = planar((i, c) => (i === 1 ? [0.01, 0.02, 0.005][c] : 0));
  const excess = new Float64Array(BINS).fill(1).fill(2, 2, 3);
  const white = whitening({ covariance, excess, correlatedBins: 1 }, density, marks, {
    shapeError: 0.03,
    colourError: 0.015,
  });
  for (const i of [0, 1, 2]) {
    const own = [0.3, 0, 0.1];
    const mark = i === 1 ? [0.01, 0.02, 0.005] : [0, 0, 0];
    const S = [0, 1, 2].map((a) =>
      [0, 1, 2].map(
        (b) =>
          covariance[3 * a + b] * (i === 2 ? 4 : 1) +
          mark[a] * mark[b] +
          (0.03 ** 2 + (a === b ? 0.015 ** 2 : 0)) * own[a] * own[b],
      ),
    );
    const W = [0, 1, 2].map((a) => [0, 1, 2].map((b) => white[9 * i + 3 * a + b]));
    for (const a of [0, 1, 2]) {
      for (const b of [0, 1, 2]) {
        let sum = 0;
        for (const p of [0, 1, 2]) for (const q of [0, 1, 2]) sum += W[a][p] * S[p][q] * W[b][q];
        expect(sum).toBeCloseTo(a === b ? 1 : 0, 9);
      }
    }
  }
});

describe('a band’s crown on the data', () => {
  const heights: Triple = [0.3, 0.2, 0.1];
  const at = (mm: number) => planar((i, c) => heights[c] * Math.exp(-0.5 * ((BIN_MM * i - mm) / 2) ** 2));
  /** @param sd of the noise of each channel */
  const apex = (mm: number, sd: number) => {
    const chance = Float64Array.from({ length: 9 * BINS }, (_, k) => ([0, 4, 8].includes(k % 9) ? 1 / sd : 0));
    const data: FitData = { bins: BINS, firstMm: 0, binMm: BIN_MM, density: at(mm), whiten: chance, chance };
    return refinedApex(at(mm), { apexMm: 40, heights, widthMm: 4.7 }, data);
  };

  test('is where the data have it, where they are sure', () => {
    for (const mm of [39.7, 40.13, 40.5]) expect(Math.abs(apex(mm, 1e-4) - mm)).toBeLessThan(0.02);
  });

  test('a shift within its own noise is not believed, one a little beyond it only in part', () => {
    expect(apex(40.13, 0.3)).toBe(40);
    const part = apex(40.5, 0.02);
    expect(part).toBeGreaterThan(40.2);
    expect(part).toBeLessThan(40.49);
  });
});
