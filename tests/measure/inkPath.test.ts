/** An ink's own path from thin to thick, and what leaves it: sheen within a sample, a sample among its neighbours. */
import { describe, expect, test } from 'vitest';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type Xyz, xyzToLab } from '../../analysis/colour/lab.ts';
import { fitInkPath, nearestOnPath, searched } from '../../analysis/measure/inkPath.ts';
import { pathDistances, type PathSample } from '../../analysis/measure/pathDistance.ts';
import { measureSheen, type SheenInput, type SheenOptions, type SheenPlace } from '../../analysis/measure/sheen.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { triple } from '../../analysis/triple.ts';
import { doseTable, entryOf, xyzAt } from '../../sample-scans/generator/doseTable.ts';
import { drawInk, mixedInk } from '../../sample-scans/generator/ink.ts';
import { drawPaper } from '../../sample-scans/generator/paper.ts';
import { drawScanner } from '../../sample-scans/generator/scanner.ts';
import { madeUpTarget } from '../calibrate/madeUpTarget.ts';

/** Exact colours of an invented ink by Kubelka–Munk; `foreign`: share of another ink in it. */
function inkOnPaper(seed: number, foreign = 0): { paper: Xyz; at: (dose: number) => Xyz } {
  const ink = foreign > 0 ? mixedInk(drawInk(seed), { inkSeed: seed + 500, share: foreign }) : drawInk(seed);
  const table = doseTable(ink, drawPaper(seed, 'brightWhite', 'white').reflectance, drawScanner(seed));
  return { paper: xyzAt(table, 0), at: (dose) => xyzAt(table, entryOf(table, dose)) };
}

const SEEDS = [21, 22, 23, 24, 25, 26, 27, 28];

describe('the path', () => {
  test.each(SEEDS)('of ink %d passes within 0.06 ΔE00 of doses that it was not fitted to', (seed) => {
    const { paper, at } = inkOnPaper(seed);
    const doses = [0.6, 0.8, 1, 1.25, 1.5, 1.8];
    const path = fitInkPath(
      doses.map((dose) => ({ xyz: at(dose), weight: 1 })),
      paper,
    )!;
    for (const dose of [0.7, 1.1, 1.65]) {
      const near = nearestOnPath(searched(path, 0, path.to), at(dose));
      expect(deltaE2000(near.lab, xyzToLab(at(dose)))).toBeLessThan(0.06);
    }
  });

  test('two colours, or the bare paper alone, make none', () => {
    const { paper, at } = inkOnPaper(21);
    const points = [0.5, 1].map((dose) => ({ xyz: at(dose), weight: 1 }));
    expect(fitInkPath(points, paper)).toBeNull();
    expect(
      fitInkPath(
        [1, 1, 1, 1, 1].map((weight) => ({ xyz: paper, weight })),
        paper,
      ),
    ).toBeNull();
  });
});

/** Pixels with doses evenly spread over 0.6 to 2, one in a thousand noise; the densest `share` with light of a metal added. */
function pixels(seed: number, share: number, light: Xyz, noise = 0.003): { xyz: Float32Array; paper: Xyz } {
  const random = seededRandom(seed);
  const { paper, at } = inkOnPaper(seed);
  const n = 4000;
  const xyz = new Float32Array(3 * n);
  for (let k = 0; k < n; k++) {
    const rank = random();
    // Patchy: of the densest tenths some carry it and some do not.
    const metal = rank > 1 - 2 * share && random() < 0.5 ? 1 : 0;
    const film = at(0.6 + 1.4 * rank);
    const grain = 1 + noise * (random() + random() + random() - 1.5) * 2;
    xyz.set(
      triple((c) => grain * film[c] + metal * light[c] + noise * 0.1 * (random() - 0.5)),
      3 * k,
    );
  }
  return { xyz, paper };
}

const blocks = { of: Int32Array.from({ length: 4000 }, (_, k) => k % 40), count: 40 };
/** Pixels that know of no neighbour. */
const apart: SheenPlace = {
  indices: Int32Array.from({ length: 4000 }, (_, k) => k),
  widthPx: 80,
  stepPx: 1,
  blurPx: 0,
};
const found = (input: Omit<SheenInput, 'place'>, options: SheenOptions = {}) =>
  measureSheen({ place: apart, ...input }, blocks, { regions: ['r'] }, [], 1, options);
const sheenOf = (seed: number, share: number, light: Xyz) => found(pixels(seed, share, light));

describe('sheen', () => {
  test.each(SEEDS)('none in ink %d without it', (seed) => {
    const { quantity, pixels: shining, near } = sheenOf(seed, 0, [0, 0, 0]);
    expect(quantity.value).toBeLessThan(0.05);
    expect(quantity).toMatchObject({ quantity: 'sheen', unit: '%', verdict: 'none', limits: [1, 10, 30] });
    // Nothing found leaves open what is too little to be looked at.
    expect(Number(quantity.u)).toBeGreaterThanOrEqual(0.5);
    expect(quantity.flags).toContain('lower-bound');
    expect(shining.length).toBeLessThan(2);
    expect(near).toBeNull();
  });

  test.each([0.06, 0.15])('a share of %d with a red metal on a teal or green ink', (share) => {
    const seed = Array.from({ length: 60 }, (_, k) => 100 + k).find((s) =>
      ['teal', 'green'].includes(drawInk(s).kind),
    )!;
    const { quantity, pixels: shining } = sheenOf(seed, share, [0.1, 0.06, 0.02]);
    expect(Math.abs(Number(quantity.value) - 100 * share)).toBeLessThan(Math.max(2, 2 * Number(quantity.u)));
    expect(shining.length / 40).toBeCloseTo(Number(quantity.value), 0);
  });

  test('faint light on half of the denser pixels does not draw the path to itself', () => {
    const { quantity, pixels: shining } = sheenOf(101, 0.3, [0.03, 0.018, 0.006]);
    expect(Math.abs(Number(quantity.value) - 30)).toBeLessThan(1.5);
    expect(shining.length).toBeGreaterThan(1000);
  });

  test('what lies about the limit is in doubt by half of what a fifth more or less of it would change', () => {
    const { xyz, paper } = pixels(101, 0.15, [0.02, 0.012, 0.004]);
    const at = (offDE: number) => found({ xyz, paper }, { offDE }).quantity;
    const [nearer, further] = [2.4, 3.6].map((offDE) => Number(at(offDE).value));
    expect(nearer).toBeGreaterThan(further + 1);
    expect(Number(at(3).uParts?.calibration)).toBeCloseTo((nearer - further) / 2, 6);
  });

  test('paper that shows through is paler, not sheen', () => {
    const { paper } = inkOnPaper(24);
    const { xyz } = pixels(24, 0, [0, 0, 0]);
    for (let k = 0; k < 4000; k += 10) {
      for (let c = 0; c < 3; c++) xyz[3 * k + c] = 0.5 * xyz[3 * k + c] + 0.5 * paper[c];
    }
    expect(found({ xyz, paper }).quantity.value).toBeLessThan(0.05);
  });

  test('a sample without a path cannot tell', () => {
    const { paper } = inkOnPaper(24);
    const xyz = Float32Array.from({ length: 12_000 }, (_, i) => paper[i % 3]);
    const { quantity } = found({ xyz, paper });
    expect(quantity).toMatchObject({ value: null, u: null, flags: ['lower-bound', 'cannot-tell'] });
  });
});

describe('patches of sheen', () => {
  const side = 160;
  const radiusPx = 3;
  const seed = 101;
  const blurred = (inside: (x: number, y: number) => boolean, blurPx: number): Float32Array => {
    const data = Float32Array.from({ length: side * side }, (_, i) => (inside(i % side, Math.floor(i / side)) ? 1 : 0));
    return gaussianSmooth(data, side, side, blurPx, new Float32Array(data.length));
  };
  /** A swab that gets denser downwards, with discs of sheen on its lower half, through a scanner's blur. */
  const swab = (light: Xyz, blurPx: number) => {
    const { paper, at } = inkOnPaper(seed);
    const random = seededRandom(7);
    const inDisc = (x: number, y: number): boolean =>
      y > side / 2 && Math.hypot((x % 20) - 10, (y % 20) - 10) <= radiusPx;
    const metal = blurred(inDisc, blurPx);
    const xyz = new Float32Array(3 * side * side);
    let discs = 0;
    for (let k = 0; k < side * side; k++) {
      const [x, y] = [k % side, Math.floor(k / side)];
      if (inDisc(x, y)) discs++;
      const film = at(0.6 + (1.4 * y) / side);
      const grain = 1 + 0.004 * (random() + random() - 1);
      xyz.set(
        triple((c) => grain * film[c] + metal[k] * light[c]),
        3 * k,
      );
    }
    const place = { indices: Int32Array.from({ length: side * side }, (_, k) => k), widthPx: side, stepPx: 1, blurPx };
    const own = { of: Int32Array.from({ length: side * side }, (_, k) => k % 40), count: 40 };
    const told = (options: SheenOptions = {}, leftOut = new Set<number>()) =>
      measureSheen({ xyz, paper, place, leftOut }, own, { regions: ['r'] }, [], 1, options);
    return { truth: (100 * discs) / (side * side), told };
  };

  test.each([
    ['strong', [0.1, 0.06, 0.02]],
    ['faint', [0.045, 0.022, 0.007]],
  ] satisfies [string, Xyz][])(
    '%s light in discs of six pixels is as much as it is, not as broad as blur makes it',
    (_, light) => {
      const { truth, told } = swab(light, 1);
      const { quantity } = told();
      expect(Math.abs(Number(quantity.value) - truth)).toBeLessThan(0.2 * truth);
      expect(Math.abs(Number(quantity.value) - truth)).toBeLessThan(2 * Number(quantity.u));
      expect(quantity.uParts?.placement).toBeGreaterThan(0.4);
    },
  );

  test('without the rule of half the light a strong one is too broad by a third or more', () => {
    const { truth, told } = swab([0.1, 0.06, 0.02], 1);
    expect(Number(told({ rim: 0 }).quantity.value)).toBeGreaterThan(1.3 * truth);
  });

  test('what its light reaches is told, too: all of it and little more', () => {
    const { told } = swab([0.1, 0.06, 0.02], 1);
    const { near, pixels: shining } = told();
    expect(Array.from(shining, (k) => near?.[k])).not.toContain(0);
    const reached = near?.reduce((sum, v) => sum + v, 0) ?? 0;
    expect(reached).toBeGreaterThan(1.5 * shining.length);
    // Nothing of the upper half.
    expect(near?.indexOf(1)).toBeGreaterThan(side * (side / 2 - 10));
  });

  test('pixels that are left out are no sheen', () => {
    const { told } = swab([0.1, 0.06, 0.02], 1);
    const all = told().pixels;
    const without = told({}, new Set(all));
    expect(all.length).toBeGreaterThan(500);
    expect(Array.from(without.pixels).filter((k) => all.includes(k))).toEqual([]);
  });
});

describe('the odd one out', () => {
  const sample = (seed: number, region: string, doses: readonly number[], foreign = 0): PathSample => {
    const { paper } = inkOnPaper(seed);
    const { at } = inkOnPaper(seed, foreign);
    return {
      region,
      colours: doses.map((dose) => ({ xyz: at(dose), share: 1 / doses.length })),
      paper,
      covariance: [0.01, 0, 0, 0, 0.01, 0, 0, 0, 0.01],
      placement: [0.05, 0.05, 0.05],
      narrow: false,
      flags: [],
    };
  };
  const nibs = (seed: number, foreign: number): PathSample[] => [
    sample(seed, 'ef', [0.6, 0.8, 1]),
    sample(seed, 'm', [0.9, 1.1, 1.4], foreign),
    sample(seed, 'b', [1.2, 1.5, 1.9]),
  ];
  const flagged = (samples: readonly PathSample[]) =>
    pathDistances(samples, nominalCalibration).map(({ flags }) => flags.includes('another-ink'));

  test.each(SEEDS)(
    'ink %d alone has none; a fifth of another ink in the middle pen is told of that pen alone',
    (seed) => {
      expect(flagged(nibs(seed, 0))).toEqual([false, false, false]);
      const told = pathDistances(nibs(seed, 0.2), nominalCalibration);
      const moved = Number(told[1].value);
      // Another ink of nearly the same colour does no harm and is not told.
      expect(told.map(({ flags }) => flags.includes('another-ink'))).toEqual([false, moved > 1.5, false]);
    },
  );

  test('ink thinned by water stays on the path', () => {
    const thin = [...nibs(25, 0).slice(0, 2), sample(25, 'thinned', [0.3, 0.4, 0.5])];
    expect(flagged(thin)).toEqual([false, false, false]);
  });

  test('one other nib is not enough, one graded swab is', () => {
    const [alone] = pathDistances(nibs(22, 0).slice(0, 2), nominalCalibration);
    expect(alone).toMatchObject({ value: null, u: null, flags: ['cannot-tell'] });
    const graded = sample(22, 'graded', [0.3, 0.5, 0.8, 1.2, 1.8, 2.6]);
    const [told] = pathDistances([sample(22, 'm', [0.9, 1.1, 1.4]), graded], nominalCalibration);
    expect(Number(told.value)).toBeLessThan(0.15);
  });

  test('lines too narrow to hold doses of their own neither judge others nor are judged', () => {
    const [ef, m, b] = nibs(22, 0);
    const mixed = {
      ...m,
      colours: m.colours.map((k) => ({ ...k, xyz: triple((c) => 0.6 * k.xyz[c] + 0.4 * m.paper[c]) })),
    };
    const graded = sample(22, 'graded', [0.3, 0.5, 0.8, 1.2, 1.8, 2.6]);
    expect(flagged([ef, mixed, b, graded])).toContain(true);
    const told = pathDistances([ef, { ...mixed, tooNarrow: true }, b, graded], nominalCalibration);
    expect(told[1]).toMatchObject({ value: null, u: null, flags: ['cannot-tell'] });
    expect([told[0], ...told.slice(2)]).toEqual(pathDistances([ef, b, graded], nominalCalibration));
  });

  test('a graded swab is not judged by others of one dose, their thin ends aside', () => {
    const graded = sample(22, 'graded', [0.3, 0.5, 0.8, 1.2, 1.8, 2.6]);
    const even = sample(22, 'even', [0.7, 1.4, 1.5]);
    const withEnd = (share: number): PathSample => ({
      ...even,
      colours: even.colours.map(({ xyz }, i) => ({ xyz, share: i === 0 ? share : (1 - share) / 2 })),
    });
    const [, , unfounded] = pathDistances([sample(22, 'b', [1.4, 1.6]), withEnd(0.05), graded], nominalCalibration);
    expect(unfounded).toMatchObject({ value: null, flags: ['cannot-tell'] });
    const [, , founded] = pathDistances([sample(22, 'b', [1.4, 1.6]), withEnd(0.3), graded], nominalCalibration);
    expect(Number(founded.value ?? Infinity)).toBeLessThan(1);
  });

  test('sheen, which leaves the path too, is not taken for another ink', () => {
    const [ef, m, b] = nibs(21, 0);
    const by = (share: number) => ({
      ...m,
      sheen: share,
      colours: m.colours.map((k) => ({ ...k, xyz: triple((c) => k.xyz[c] + 0.009 * (2 - c)) })),
    });
    const graded = sample(21, 'graded', [0.3, 0.5, 0.8, 1.2, 1.8, 2.6]);
    const [, without] = pathDistances([ef, by(0), b, graded], nominalCalibration);
    const [, shining] = pathDistances([ef, by(0.5), b, graded], nominalCalibration);
    expect(without.flags).toContain('another-ink');
    expect(shining.flags).not.toContain('another-ink');
    expect(shining.value).toBeCloseTo(Number(without.value), 9);
  });

  test('u grows where the others scatter', () => {
    const [calm] = pathDistances(nibs(23, 0), nominalCalibration);
    const [, m, b] = nibs(23, 0);
    const tinted = { ...b, colours: b.colours.map((k) => ({ ...k, xyz: triple((c) => k.xyz[c] * (1 + 0.03 * c)) })) };
    const [unsure] = pathDistances([nibs(23, 0)[0], m, tinted, sample(23, 'b2', [1.1, 1.5, 2])], nominalCalibration);
    expect(Number(unsure.u)).toBeGreaterThan(Number(calm.u));
  });

  test('the path leans a quarter as much on colours whose blur was undone', () => {
    const [ef, m, b] = nibs(23, 0);
    const off = (sample: PathSample): PathSample => ({
      ...sample,
      colours: sample.colours.map((k) => ({ ...k, xyz: triple((c) => k.xyz[c] * (1 + 0.006 * c)) })),
    });
    // At the same doses one sample lies beside the path.
    const distance = (narrow: boolean) =>
      Number(pathDistances([ef, m, b, { ...off(m), region: 'off', narrow }], nominalCalibration)[1].value);
    expect(distance(true) / distance(false)).toBeLessThan(0.6);
  });

  describe('where no other sample tells the path, through a target', () => {
    const target = madeUpTarget();
    const calibration = fitCalibration(target.readings, target.reference);
    /** Pens of nearly one dose, and one half as dense again: the colours are exact, so that all that is off is the path. */
    const pens = (seed: number, foreign: 'm' | 'b' | null = null): PathSample[] => [
      sample(seed, 'ef', [1.8, 1.9]),
      sample(seed, 'm', [1.9, 2, 2.2], foreign === 'm' ? 0.1 : 0),
      sample(seed, 'even', [2, 2.1]),
      sample(seed, 'b', [3, 3.4], foreign === 'b' ? 0.2 : 0),
    ];
    const graded = (seed: number): PathSample => sample(seed, 'graded', [0.3, 0.45, 0.7, 1, 1.5, 2.2, 3, 4]);
    const oddOf = (samples: readonly PathSample[]) =>
      pathDistances(samples, calibration).flatMap((q) => (q.flags.includes('another-ink') ? q.subject.regions : []));

    test.each([20, 22, 24, 25, 32, 35, 37, 38, 39])('the densest pen of ink %d is no other ink', (seed) => {
      expect(oddOf(pens(seed))).toEqual([]);
      expect(oddOf(pens(seed, 'm'))).toEqual(['m']);
    });

    test('of fifty such pens nine in ten at least lie within 2u of the path that is foretold, most beyond the half of u', () => {
      const told = Array.from({ length: 50 }, (_, n) => pathDistances(pens(20 + n), calibration)[3]);
      const shareWithin = (times: number) =>
        told.filter(({ value, u }) => Number(value ?? Infinity) <= times * Number(u)).length / told.length;
      expect(shareWithin(2)).toBeGreaterThanOrEqual(0.9);
      expect(shareWithin(0.5)).toBeLessThan(0.5);
    });

    test.each([80, 127, 185])('beside a swab as dense as it, another ink %d in the densest pen is', (seed) => {
      const dark = [
        sample(seed, 'ef', [0.8, 1.4]),
        sample(seed, 'm', [1.9, 2.2]),
        sample(seed, 'even', [2, 2.1]),
        sample(seed, 'b', [3.5, 4], 0.2),
        graded(seed),
      ];
      expect(oddOf(dark)).toEqual(['b']);
    });

    test('one that was taken out and then agrees is taken in again, so that all are told', () => {
      const told = pathDistances(pens(52, 'b'), calibration);
      expect(told.map(({ flags }) => flags.includes('another-ink'))).toEqual([false, false, false, true]);
      for (const { value } of told.slice(0, 3)) expect(Number(value ?? Infinity)).toBeLessThan(0.1);
    });

    test('u of a rinsed pen holds what the path may bend ahead of the palest', () => {
      const [ef, m, even] = pens(24);
      const thin = sample(24, 'thin', [0.3, 0.35]);
      const [, , , alone] = pathDistances([ef, m, even, thin], calibration);
      const [, , , beside] = pathDistances([ef, m, even, thin, graded(24)], calibration);
      expect(Number(alone.u)).toBeGreaterThan(1.5 * Number(beside.u));
    });
  });
});
