/** Each fault of study/targetFaults.ts on seeds that no limit was chosen on, the words of each caution, and none on sound targets. */
import { describe, expect, it } from 'vitest';
import {
  blurCaution,
  sharpenedCaution,
  CAUTION_LIMITS,
  cautionsOf,
  judgedWith,
  type Evidence,
  type WeighedCaution,
} from '../../analysis/calibrate/cautions.ts';
import { exchangedChannels } from '../../analysis/calibrate/exchangedChannels.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { drawnWorld, sampleWorld } from '../../study/calibrationWorlds.ts';
import { FAULTS, sceneOf, toldOf } from '../../study/targetFaults.ts';
import { madeUpTarget, readingOf } from './madeUpTarget.ts';

const seeds = [902, 908, 914];

describe('faulty targets', () => {
  it.each(FAULTS.map((fault) => [fault.name, fault] as const))('%s', (_, { expected, spoil }) => {
    const told = seeds.map((seed) => toldOf(spoil(sceneOf(sampleWorld(seed), seed), seed)).codes);
    for (const codes of told) expect(expected.filter((code) => codes.includes(code))).not.toEqual([]);
  });

  it('sound ones are told nothing', () => {
    for (const seed of seeds)
      expect(toldOf(sceneOf(sampleWorld(seed), seed)).codes.filter((code) => code !== 'few-dyes')).toEqual([]);
    const drawn = toldOf(sceneOf(drawnWorld(904), 904)).codes;
    expect(drawn.filter((code) => code !== 'few-dyes' && code !== 'clipped')).toEqual([]);
  });
});

describe('channels in another order', () => {
  const orders = [
    [[2, 1, 0], 'Red and blue are exchanged'],
    [[1, 0, 2], 'Red and green are exchanged'],
    [[0, 2, 1], 'Green and blue are exchanged'],
    [[1, 2, 0], 'Red, green and blue stand as blue, red and green'],
    [[2, 0, 1], 'Red, green and blue stand as green, blue and red'],
  ] as const;

  it.each(orders)('%s: told as such, whatever the scanner, and never of a sound one', (order, words) => {
    for (const seed of seeds) {
      const { readings: sound, reference } = sceneOf(sampleWorld(seed), seed);
      const files = sound.map((reading) => ({
        ...reading,
        device: order.map((_, c) => [...reading.device][[...order].findIndex((channel) => channel === c)]),
      }));
      const exchanged = files.map((reading) => ({ ...reading, device: threeOf(reading.device) }));
      expect(exchangedChannels(exchanged, reference)?.words).toBe(words);
      expect(exchangedChannels(sound, reference)).toBeNull();
    }
  });

  it('colours are fitted as well, and the calibration is usable at best', () => {
    const { readings: sound, reference } = madeUpTarget();
    const exchanged = sound.map((reading) => ({ ...reading, device: threeOf(reading.device.toReversed()) }));
    const [right, wrong] = [sound, exchanged].map((each) => fitCalibration(each, reference));
    expect([right.judgement, wrong.judgement]).toEqual(['good', 'usable']);
    expect(wrong.leftOutMedian).toBeCloseTo(right.leftOutMedian ?? NaN, 2);
    expect(wrong.cautions.map(({ code }) => code)).toContain('channels-exchanged');
  });

  it('greys alone tell no order', () => {
    const greys = Array.from({ length: 12 }, (_, i) =>
      readingOf(`P${i}`, true, [0.9 - 0.05 * i, 0.8 - 0.05 * i, 0.7 - 0.05 * i]),
    );
    const patches = new Map(greys.map(({ id }, i) => [id, { lab: labD50(95 - 6 * i, 0.4, -1) }]));
    expect(exchangedChannels(greys, { patches })).toBeNull();
  });
});

function threeOf([r, g, b]: readonly number[]): [number, number, number] {
  return [r, g, b];
}

const readings = Array.from({ length: 40 }, (_, i) => ({
  ...readingOf(`P${i}`, i < 10, [0.9 - 0.02 * i, 0.88 - 0.02 * i, 0.86 - 0.02 * i]),
  knownL: 96 - 2 * i,
}));
const sound: Evidence = {
  readings,
  clippedLimit: 0.005,
  covered: new Map(),
  leftOutMedian: 0.8,
  greyMaxChroma: 0.5,
  mixedGreys: false,
  pooled: [],
  exposure: 0.8,
  drift: { range: 0.02, F: 3 },
  slope: { range: 0.02, F: 3 },
  lightRange: 0.04,
  shadow: null,
  whiteMisfit: null,
  whiteShort: null,
  noise: { lightL: 0.3, darkL: 0.9 },
  colorants: { kind: 'cannot-tell', by: 'nothing' },
  referenceDoubt: 0,
  exchanged: null,
};
const only = (evidence: Partial<Evidence>): WeighedCaution => {
  const cautions = cautionsOf({ ...sound, ...evidence });
  expect(cautions).toHaveLength(1);
  return cautions[0];
};
const clippedAt = (ids: readonly string[], device: readonly [number, number, number]) =>
  readings.map((reading) => (ids.includes(reading.id) ? { ...reading, device, clippedShare: 1 } : reading));

describe('what is said', () => {
  it('nothing of sound evidence', () => {
    expect(cautionsOf(sound)).toEqual([]);
  });

  it.each([
    [
      'other-target',
      'poor',
      { leftOutMedian: 4.6 },
      /miss their known values by 4\.6 ΔE00 in the median; about 1 is usual/,
    ],
    [
      'overexposed',
      'usable',
      { readings: clippedAt(['P0'], [1, 1, 0.99]) },
      /white is clipped, with 1 of 40 patches at the top/,
    ],
    [
      'clipped',
      'good',
      { readings: clippedAt(['P7'], [1, 0.5, 0.4]) },
      /1 of 40 patches has a channel at the top of the scale and was left out .*P7.* less exposure/,
    ],
    [
      'clipped',
      'good',
      { readings: clippedAt(['P7'], [0.5, 0, 0.4]) },
      /at the bottom of the scale .*P7.* colour correction off/,
    ],
    [
      'underexposed',
      'good',
      { readings: clippedAt(['P39'], [0.01, 0, 0.01]) },
      /1 of 40 patches lie at the bottom of the scale \(P39\)/,
    ],
    [
      'underexposed',
      'good',
      { exposure: 0.1 },
      /white gives 10 % of the scanner's full light; half or more is expected/,
    ],
    [
      'covered',
      'usable',
      {
        covered: new Map([
          ['P1', 'uneven'],
          ['P2', 'departs'],
          ['P3', 'departs'],
          ['P4', 'alike'],
        ] as const),
      },
      /4 of 40 patches were left out: 1 not even inside \(P1\), 2 far from .*\(P2, P3\), 1 that look.*\(P4\)/,
    ],
    [
      'uneven-light',
      'usable',
      { drift: { range: 0.12, F: 30 } },
      /changes by 12 % across the target and could not be taken out; below 8 % is expected/,
    ],
    ['uneven-light', 'poor', { drift: { range: 0.3, F: 30 } }, /changes by 30 %/],
    ['uneven-light', 'usable', { slope: { range: 0.11, F: 9 } }, /changes by 11 %/],
    ['uneven-light', 'poor', { shadow: 0.35, lightRange: null }, /changes by 35 % across the target and could not/],
    ['uneven-light', 'usable', { lightRange: 0.3 }, /changes by 30 % across the target; below 20 % is usual/],
    ['uneven-light', 'usable', { whiteMisfit: 0.05 }, /bare card still varies by 5 %; below 2 % is expected/],
    ['uneven-light', 'good', { whiteShort: { words: 'short', target: false } }, /^short$/],
    [
      'not-neutral',
      'usable',
      { greyMaxChroma: 4.2 },
      /worst grey misses its known colour by C\* 4\.2 \(below 3 is expected\)/,
    ],
    ['not-neutral', 'usable', { pooled: ['P3', 'P4'] }, /2 greys do not rise as the reference says \(P3, P4\)/],
    [
      'noisy',
      'good',
      { noise: { lightL: 2, darkL: 3 } },
      /scatters by 2\.0 L\* on light and 3\.0 L\* on dark patches; up to 1\.5 and 4 is usual/,
    ],
    [
      'few-dyes',
      'good',
      { colorants: { kind: 'few-dyes', by: 'spectra' } },
      /three or four dyes \(its spectra say so\)/,
    ],
    ['doubtful-reference', 'usable', { referenceDoubt: 2.3 }, /only sure to ± 4\.6 ΔE00 in the median; ± 2 or less/],
  ] as const)('%s (at best %s)', (code, atBest, evidence: Partial<Evidence>, words) => {
    const caution = only(evidence);
    expect(caution).toMatchObject({ code, atBest });
    expect(caution.words).toMatch(words);
    expect(caution.words).not.toMatch(/\n/);
  });

  it('mixed greys may come out more coloured; a slope that the residuals hardly show is none', () => {
    expect(cautionsOf({ ...sound, greyMaxChroma: 6, mixedGreys: true })).toEqual([]);
    expect(cautionsOf({ ...sound, drift: { range: 0.3, F: 2 } })).toEqual([]);
    expect(cautionsOf({ ...sound, referenceDoubt: 0.9 })).toEqual([]);
  });

  it('the worst first, and none lifts a judgement', () => {
    const cautions = cautionsOf({ ...sound, exposure: 0.1, leftOutMedian: 5, greyMaxChroma: 9 });
    expect(cautions.map(({ code }) => code)).toEqual(['other-target', 'not-neutral', 'underexposed']);
    expect(judgedWith('good', cautions)).toBe('poor');
    expect(judgedWith('good', cautions.slice(1))).toBe('usable');
    expect(judgedWith('poor', cautions.slice(2))).toBe('poor');
    expect(judgedWith('good', [])).toBe('good');
  });

  it('blur counts in mm and in pixels', () => {
    expect(blurCaution(0.2, 300)?.words).toMatch(/blurred by 0\.20 mm .* below 0\.12 mm is usual/);
    expect(blurCaution(0.13, 150)).toBeNull();
    expect(blurCaution(0.06, 1200)).toBeNull();
    expect(blurCaution(null, 300)).toBeNull();
    expect(CAUTION_LIMITS.blurMm).toBe(0.12);
  });

  it('an edge that sharpening made too light, from 2 % of its step on', () => {
    expect(sharpenedCaution(0.062)?.words).toMatch(/lighter than the card by 6 % .*below 2 % is expected/);
    expect(sharpenedCaution(0.02)?.code).toBe('sharpened');
    expect(sharpenedCaution(0.019)).toBeNull();
    expect(sharpenedCaution(null)).toBeNull();
  });
});

describe('the noise of one pixel', () => {
  it('is the patches’ scatter through the calibration', () => {
    const target = madeUpTarget({ tone: (s) => s ** (1 / 2.2) });
    const sd = [0.01, 0.01, 0.01] as const;
    const c = fitCalibration(
      target.readings.map((reading) => ({ ...reading, sd })),
      target.reference,
    );
    // L* of a neutral pixel: 116 (v^2.2 / 0.9)^(1/3) − 16; channels independent, so Y's weights add in quadrature.
    const weights = c.matrix[1].slice(0, 3);
    const total = weights.reduce((sum, w) => sum + w, 0);
    const quadrature = Math.hypot(...weights) / total;
    const expected = (L: number): number => {
      const v = (0.9 * ((L + 16) / 116) ** 3) ** (1 / 2.2);
      return ((116 * 2.2) / 3 / v) * ((L + 16) / 116) * 0.01 * quadrature;
    };
    expect(c.noise!.lightL).toBeGreaterThan(0.8 * expected(90));
    expect(c.noise!.lightL).toBeLessThan(1.2 * expected(85));
    expect(c.noise!.darkL).toBeGreaterThan(0.8 * expected(35));
    expect(c.noise!.darkL).toBeLessThan(1.2 * expected(20));
    expect(
      fitCalibration(
        target.readings.map((r) => ({ ...r, sd: [0, 0, 0] as const })),
        target.reference,
      ).noise,
    ).toBeNull();
  });

  it('is that of the lightest and the darkest tenth alone, and of patches of 50 pixels or more', () => {
    const { readings, reference } = madeUpTarget({ tone: (s) => s ** (1 / 2.2) });
    const light = ({ id }: { readonly id: string }): number => reference.patches.get(id)?.lab[0] ?? 0;
    const rank = new Map(readings.toSorted((a, b) => light(a) - light(b)).map(({ id }, i) => [id, i]));
    const isEnd = ({ id }: { readonly id: string }): boolean => {
      const place = rank.get(id)! / readings.length;
      return place < 0.15 || place > 0.85;
    };
    const noiseOf = (middle: number, pixels: number) =>
      fitCalibration(
        readings.map((reading) => {
          const sd = isEnd(reading) ? 0.01 : middle;
          return { ...reading, pixels, sd: [sd, sd, sd] as const };
        }),
        reference,
      ).noise;
    const even = noiseOf(0.01, 50)!;
    const uneven = noiseOf(0.05, 50)!;
    expect([uneven.lightL / even.lightL, uneven.darkL / even.darkL]).toEqual([
      expect.closeTo(1, 1),
      expect.closeTo(1, 1),
    ]);
    expect(noiseOf(0.01, 49)).toBeNull();
  });
});
