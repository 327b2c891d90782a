/** A strip of much ink: what its strongest dye hides neither of itself nor of the others. */
import { describe, expect, test } from 'vitest';
import { asAmounts, layerAdds } from '../../analysis/measure/strip/addition.ts';
import type { BandFit, Component, FitData } from '../../analysis/measure/strip/bandFit.ts';
import { writeShape, type BandShape } from '../../analysis/measure/strip/bandModel.ts';
import { groupBands } from '../../analysis/measure/strip/bands.ts';
import { chooseBands, firstBands } from '../../analysis/measure/strip/chooseBands.ts';
import { whitening } from '../../analysis/measure/strip/noise.ts';
import { passedBy } from '../../analysis/measure/strip/passedBy.ts';
import { STRIP_DEFAULTS } from '../../analysis/measure/strip/strip.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

const BINS = 157;
const FIRST_MM = 8.6;
const BIN_MM = 0.5;
const LIMITS = { originMm: 15.7, frontMm: 86.8, originReachMm: 1.5 };
const SIGMA = 0.0012;
/** The search ends soon. */
const FEW = { mostBands: 6 };

type Triple = readonly [number, number, number];

const bell = { tail: 'none', drag: 0, delay: 0 } as const;
const SPOT: BandShape = { ...bell, meanMm: 15.7, sdMm: 0.8 };
const BLUE: BandShape = { tail: 'overloaded', drag: -4.4, delay: 0, meanMm: 46, sdMm: 3.1 };
const YELLOW: BandShape = { ...bell, meanMm: 59, sdMm: 2.6 };

function strip(parts: readonly (readonly [BandShape, Triple])[]): FitData {
  const random = seededRandom(7);
  const density = new Float64Array(3 * BINS);
  const column = new Float64Array(BINS);
  for (const [shape, heights] of parts) {
    writeShape(shape, FIRST_MM, BIN_MM, column);
    for (let k = 0; k < 3 * BINS; k++) density[k] += heights[Math.floor(k / BINS)] * column[k % BINS];
  }
  for (let k = 0; k < density.length; k++) density[k] += SIGMA * (random() + random() + random() - 1.5);
  const covariance = Float64Array.from({ length: 9 }, (_, k) => (k % 4 === 0 ? SIGMA ** 2 : 0));
  const noise = { covariance, excess: new Float64Array(BINS).fill(1), correlatedBins: 2 };
  const marks = new Float64Array(3 * BINS);
  return {
    bins: BINS,
    firstMm: FIRST_MM,
    binMm: BIN_MM,
    density,
    whiten: whitening(noise, density, marks, STRIP_DEFAULTS),
    chance: whitening(noise, density, marks, { shapeError: 0, colourError: 0 }),
  };
}

const HEAVY = strip([
  [SPOT, [0.28, 0.33, 0.3]],
  [BLUE, [0.85, 0.55, 0.14]],
  [YELLOW, [0.01, 0.04, 0.45]],
]);

test('the strongest band of a strip is found though its front is steep', () => {
  const amounts = asAmounts(HEAVY, layerAdds([0.84, 0.83, 0.79]));
  const first = firstBands(amounts, LIMITS, 2, FEW);
  const { bands } = groupBands(chooseBands(first, amounts, LIMITS, 2, FEW), amounts, LIMITS);
  const places = bands.map(({ apexMm }) => apexMm);
  expect(places).toHaveLength(2);
  expect(places[0]).toBeCloseTo(50.2, 0);
  expect(places[1]).toBeCloseTo(59, 0);
});

describe('passed by', () => {
  const none = new Float64Array(3 * BINS);

  test('is the highest that is left, by its own moments', () => {
    const found = passedBy(HEAVY, none, LIMITS);
    expect(found).toMatchObject({ kind: 'band', tail: 'overloaded', heights: [0, 0, 0] });
    expect(found?.meanMm).toBeCloseTo(46, 0);
    expect(found?.sdMm).toBeGreaterThan(2);
  });

  /** Without noise: what is not given is nothing. */
  const drawn = (...parts: readonly (readonly [meanMm: number, sdMm: number, heights: Triple])[]): FitData => {
    const density = Float64Array.from({ length: 3 * BINS }, (_, k) => {
      const mm = FIRST_MM + (k % BINS) * BIN_MM;
      return parts.reduce(
        (sum, [m, sd, h]) => sum + h[Math.floor(k / BINS)] * Math.exp(-0.5 * ((mm - m) / sd) ** 2),
        0,
      );
    });
    return { ...HEAVY, density };
  };

  test('reaches as far as it is higher than a tenth of its crown', () => {
    const found = passedBy(drawn([46, 3, [0.8, 0.5, 0.1]], [65, 3, [0.4, 0.3, 0.05]]), none, LIMITS);
    expect(found?.meanMm).toBeCloseTo(46, 1);
    // Of a normal curve cut off at ± 2.146 σ, where it has fallen to a tenth: σ √(1 − 2aφ(a)/(2Φ(a) − 1)).
    expect(found?.sdMm).toBeCloseTo(3 * 0.907, 1);
  });

  test('ends with the run', () => {
    const alone = passedBy(drawn([86.8, 3, [0.8, 0.5, 0.1]]), none, LIMITS);
    // Half a normal curve up to the front: its mean lies √(2/π) σ before, less what is cut off at a tenth.
    expect(alone?.meanMm).toBeCloseTo(86.8 - 3 * 0.74, 0);
    const spot = passedBy(drawn([15.7, 2, [0.8, 0.5, 0.1]]), none, LIMITS);
    expect(spot?.meanMm).toBeGreaterThan(LIMITS.originMm + LIMITS.originReachMm);
    // The strip may end before the front does.
    const beyond = passedBy(drawn([86.5, 3, [0.8, 0.5, 0.1]]), none, { ...LIMITS, frontMm: 120 });
    expect(beyond?.meanMm).toBeLessThan(86.8);
  });

  test.each([
    [0.08, false],
    [0.12, true],
  ])('is worth %d of the highest: %s', (height, isFound) => {
    const [strong, faint] = [[46, 3, [1, 1, 1]] as const, [65, 3, [height, height, height]] as const];
    expect(passedBy(drawn(strong, faint), drawn(strong).density, LIMITS) !== null).toBe(isFound);
  });

  test('is left over by half, the rest being explained', () => {
    const data = drawn([46, 3, [1, 1, 1]]);
    const held = (share: number) => passedBy(data, data.density.map((v) => share * v), LIMITS); // prettier-ignore
    expect(held(0.45)?.meanMm).toBeCloseTo(46, 1);
    expect(held(0.55)).toBeNull();
  });

  test('is nothing of a fit that holds every crown', () => {
    expect(
      passedBy(
        HEAVY,
        HEAVY.density.map((v) => 0.6 * v),
        LIMITS,
      ),
    ).toBeNull();
  });

  test('is no trifle, and nothing at the origin or beyond the front', () => {
    const faint = strip([
      [SPOT, [2, 2, 2]],
      [BLUE, [0.85, 0.55, 0.14]],
      [YELLOW, [0, 0, 0.05]],
    ]);
    const { density: strong } = strip([
      [SPOT, [2, 2, 2]],
      [BLUE, [0.85, 0.55, 0.14]],
    ]);
    expect(passedBy(faint, strong, LIMITS)).toBeNull();
    expect(passedBy(faint, none, { ...LIMITS, frontMm: 16 })).toBeNull();
  });
});

describe('a pale band behind a strong one', () => {
  const component = (shape: BandShape, heights: Triple): Component => ({ ...shape, kind: 'band', heights });
  const CYAN: BandShape = { tail: 'overloaded', drag: -1.6, delay: 0, meanMm: 53, sdMm: 1.9 };
  const PALE: BandShape = { ...bell, meanMm: 41, sdMm: 1.6 };

  function bandsOf(pale: Triple): number {
    const parts = [
      [CYAN, [8, 0.8, 0.03]],
      [PALE, pale],
    ] as const;
    const data = strip(parts);
    const fit: BandFit = { components: parts.map(([s, h]) => component(s, h)), fitted: data.density, chi2: 0 };
    return groupBands(fit, data, LIMITS).bands.length;
  }

  test('is a band of its own where its colour is another, however much the strong one is in doubt of', () => {
    expect(bandsOf([0, 0.02, 0.5])).toBe(2);
  });

  test('is told by its colour alone: of the same one there is a valley, too', () => {
    expect(bandsOf([0.5, 0.05, 0.002])).toBe(2);
  });
});
