/** Dyes of a strip told apart at a place: exact mixtures, noise, and what cannot be told. */
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { StripMeasure } from '../../analysis/measure/strip/measureStrip.ts';
import {
  densityOfColour,
  dyeOfColour,
  addingDyesOf,
  unmix,
  unmixStrip,
  type Dye,
} from '../../analysis/measure/strip/unmix.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { triple } from '../../analysis/triple.ts';
import { measureTrue } from './judgeStrip.ts';
import { DYE_COLOURS, randomStrip, type TrueStrip } from './randomStrip.ts';

const NOISE = [0.003, 0.003, 0.003] as const;
const sure = (density: Dye['density']): Dye => ({ density, u: [0, 0, 0] });
const [CYAN, MAGENTA, YELLOW] = DYE_COLOURS.map(sure);
const mixed = (dyes: readonly Dye[], amounts: readonly number[]) =>
  triple((c) => dyes.reduce((sum, dye, j) => sum + amounts[j] * dye.density[c], 0));

describe('exact mixtures', () => {
  test('amounts of up to three unlike dyes come back', () => {
    const amount = fc.double({ min: 0, max: 1.5, noNaN: true });
    fc.assert(
      fc.property(amount, amount, amount, (a, b, c) => {
        const found = unmix([CYAN, MAGENTA, YELLOW], mixed([CYAN, MAGENTA, YELLOW], [a, b, c]), NOISE);
        expect(found.misfit).toBeLessThan(1e-6);
        [a, b, c].forEach((v, j) => expect(Math.abs(found.amounts[j] - v)).toBeLessThan(1e-7));
      }),
      { numRuns: 60 },
    );
  });

  test('no dye is there less than not at all, and what no dye explains is left', () => {
    const found = unmix([CYAN, YELLOW], [0.05, 0.5, 0.2], NOISE);
    expect(Math.min(...found.amounts)).toBeGreaterThanOrEqual(0);
    expect(found.rest[1]).toBeGreaterThan(0.4);
    expect(found.misfit).toBeGreaterThan(10);
  });

  test('no dyes and bare paper', () => {
    expect(unmix([], [0.2, 0.1, 0.1], NOISE).amounts).toEqual([]);
    expect(unmix([CYAN, MAGENTA], [0, 0, 0], NOISE).amounts).toEqual([0, 0]);
  });
});

describe('uncertainty', () => {
  test('the truth lies within ± 2u about as often as it should', () => {
    const random = seededRandom(8);
    const dyes = [CYAN, MAGENTA, YELLOW];
    let within = 0;
    let sum = 0;
    const draws = 400;
    for (let draw = 0; draw < draws; draw++) {
      const amounts = dyes.map(() => Math.max(0, 0.8 * random() - 0.1));
      const clean = mixed(dyes, amounts);
      const seen = triple((c) => clean[c] + 0.006 * normal(random));
      const found = unmix(dyes, seen, [0.006, 0.006, 0.006]);
      amounts.forEach((v, j) => {
        if (Math.abs(found.amounts[j] - v) <= 2 * found.u[j]) within++;
        sum += found.u[j];
      });
    }
    expect(within / (3 * draws)).toBeGreaterThan(0.92);
    expect(sum / (3 * draws)).toBeLessThan(0.03);
  });

  test('without noise a channel strays by 3 % of its density (study of strips): a dye seen alone in three is in doubt by 3 %/√3', () => {
    const { amounts, u } = unmix([MAGENTA], mixed([MAGENTA], [0.8]), [1e-6, 1e-6, 1e-6]);
    expect(u[0] / amounts[0]).toBeCloseTo(0.03 / Math.sqrt(3), 4);
  });

  test('a dye that is itself in doubt makes its amounts doubtful', () => {
    const doubtful = { ...CYAN, u: [0.09, 0.03, 0.01] as const };
    const seen = mixed([CYAN], [0.5]);
    expect(unmix([doubtful], seen, NOISE).u[0]).toBeGreaterThan(2 * unmix([CYAN], seen, NOISE).u[0]);
  });

  test('of two dyes that look alike each may be all of it, and u says so', () => {
    const twin = sure([0.91, 0.31, 0.085]);
    const { amounts, u } = unmix([CYAN, twin], mixed([CYAN], [0.6]), NOISE);
    expect(amounts[0] + amounts[1]).toBeCloseTo(0.6, 1);
    for (const [j, amount] of amounts.entries()) expect(Math.max(amount + u[j], u[j])).toBeGreaterThan(0.3);
  });

  test('four dyes in three channels are more than can be told', () => {
    const dyes = DYE_COLOURS.slice(0, 4).map(sure);
    const { u } = unmix(dyes, mixed(dyes, [0.3, 0.3, 0.3, 0.3]), NOISE);
    expect(Math.max(...u)).toBeGreaterThan(0.2);
  });
});

describe('a measured strip', () => {
  let strip: TrueStrip;
  let measure: StripMeasure;
  beforeAll(() => {
    const look = { travel: 'down', noise: 0.002, fibres: 0.004, optics: 'absorbance' } as const;
    strip = randomStrip(21, { dyes: 3, sorption: 'linear', run: 'fresh', look });
    measure = measureTrue(strip);
  });

  test('at each band’s crown there is one unit of its dye, and little of the others', () => {
    const dyes = addingDyesOf(measure);
    const places = unmixStrip(dyes, measure);
    expect(places).toHaveLength(measure.profile.positionMm.length);
    measure.bands.forEach((band, b) => {
      const at = measure.profile.positionMm.findIndex((mm) => mm >= band.apexMm);
      expect(Math.abs(places[at].amounts[b] - 1)).toBeLessThan(0.03);
      const others = places[at].amounts.filter((_, j) => j !== b && places[at].u[j] < 0.1);
      expect(Math.max(0, ...others)).toBeLessThan(0.01);
    });
  });

  test('dyes of one strip explain another run of the same ink', () => {
    const other = measureTrue(
      randomStrip(21, { dyes: 3, sorption: 'linear', run: 'dried', look: { ...strip.look, seed: 77 } }),
    );
    const places = unmixStrip(addingDyesOf(measure), other);
    const coloured = places.filter((_, i) => other.profile.absorbance.some((curve) => curve[i] > 0.05));
    const good = coloured.filter((p) => p.misfit < 2.5).length;
    expect(good / coloured.length).toBeGreaterThan(0.85);
  });
});

test('on opaque paper dyes add as in a layer: where bands lie over each other nothing else is called for', () => {
  const look = { travel: 'down', noise: 0.002, fibres: 0.004, optics: 'layer' } as const;
  const strip = measureTrue(randomStrip(22, { dyes: 3, sorption: 'linear', run: 'fresh', look }));
  expect(strip.law).toBe('layer');
  const misfits = (as: StripMeasure): number[] =>
    unmixStrip(addingDyesOf(as), as)
      .filter((_, i) => as.profile.absorbance.some((curve) => curve[i] > 0.05))
      .map(({ misfit }) => misfit)
      .toSorted((a, b) => a - b);
  const atNinety = (sorted: number[]): number => sorted[Math.floor(0.9 * sorted.length)];
  expect(atNinety(misfits(strip))).toBeLessThan(1.5);
  // By densities alone, another dye would be told.
  expect(atNinety(misfits({ ...strip, law: 'densities' }))).toBeGreaterThan(2);
});

test('which dye makes a halo: colours of writing by colours of bands', () => {
  const filter = labD50(93, 0, 3);
  const page = labD50(95, 0.5, 1);
  const blue = dyeOfColour(labD50(62, -18, -34), filter, [0.5, 0.5, 0.5]);
  const pink = dyeOfColour(labD50(64, 45, -8), filter, [0.5, 0.5, 0.5]);
  // A pale wash of the pink dye alone, on another paper.
  const halo = labD50(84.5, 15, -2);
  const { amounts, u } = unmix([blue, pink], densityOfColour(halo, page));
  expect(amounts[1]).toBeGreaterThan(0.2);
  expect(amounts[0]).toBeLessThan(0.25 * amounts[1]);
  expect(u[1]).toBeLessThan(0.04);
});
