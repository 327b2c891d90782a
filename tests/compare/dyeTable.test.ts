/** Inks that share a dye: found by hue and place, and only where strips can be compared. */
import { describe, expect, test } from 'vitest';
import { dyeBands, dyeTable, likenessOf, type DyeBand, type StripOnShelf } from '../../analysis/compare/dyeTable.ts';
import { dyeTableNote, sharedDyeText } from '../../analysis/compare/dyeTableWords.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const BLUE: LabValue = [50, -5, -40];
const PINK: LabValue = [60, 50, -5];
const YELLOW: LabValue = [88, -5, 60];
const GREY: LabValue = [60, 1, 2];

function strip(ink: string, more: Partial<StripOnShelf> = {}): StripOnShelf {
  return { ink, region: 'fresh', paper: 'filter', liquid: 'water', temperatureC: null, run: 'fresh', ...more };
}

function findings(bands: readonly (readonly [rF: number | null, lab: LabValue])[], region = 'fresh'): Quantity[] {
  return bands.flatMap(([rF, lab], i): Quantity[] => [
    {
      quantity: 'bandPosition',
      subject: { regions: [region], band: i + 1 },
      value: rF,
      unit: '1',
      u: rF === null ? null : 0.002,
      flags: [],
      method: 'bandPosition/1',
    },
    {
      quantity: 'bandColour',
      subject: { regions: [region], band: i + 1 },
      value: lab,
      unit: 'Lab',
      u: [1, 1, 1],
      verdict: 'vivid something',
      flags: i === 1 ? ['overlapped'] : [],
      method: 'bandColour/1',
    },
  ]);
}

const bandsOf = (ink: string, bands: Parameters<typeof findings>[0], more: Partial<StripOnShelf> = {}): DyeBand[] =>
  dyeBands(strip(ink, more), findings(bands, more.region));

describe('bands from findings', () => {
  test('place, colour, hue and flags; a band without a place is left out', () => {
    const found = bandsOf('Tidewater', [
      [0.4, BLUE],
      [0.7, PINK],
      [null, YELLOW],
    ]);
    expect(found.map((b) => b.band)).toEqual([1, 2]);
    expect(found[0]).toMatchObject({ rF: 0.4, uRF: 0.002, name: 'vivid something', flags: [] });
    expect(found[0].hueDeg).toBeCloseTo(262.9, 1);
    expect(found[0].uHueDeg).toBeCloseTo(1.42, 1);
    expect(found[1].flags).toEqual(['overlapped']);
  });

  test('a nearly grey band has no hue, findings of other regions are not taken', () => {
    expect(bandsOf('Soot', [[0.4, GREY]])[0].hueDeg).toBeNull();
    expect(dyeBands(strip('Soot'), findings([[0.4, BLUE]], 'dried'))).toEqual([]);
  });
});

describe('inks that share a dye', () => {
  test('by hue and place, not by either alone', () => {
    const { shared } = dyeTable([
      ...bandsOf('Tidewater', [
        [0.4, BLUE],
        [0.7, PINK],
      ]),
      ...bandsOf('Heron', [
        [0.415, [54, -4, -36]],
        [0.9, YELLOW],
      ]),
      ...bandsOf('Rook', [
        [0.41, PINK],
        [0.7, BLUE],
      ]),
    ]);
    expect(shared).toHaveLength(1);
    expect(shared[0].inks.toSorted()).toEqual(['Heron', 'Tidewater']);
    expect(shared[0].bands.map((b) => b.rF)).toEqual([0.4, 0.415]);
    expect(shared[0].worst.dRF).toBeCloseTo(0.015, 9);
  });

  test.each([
    ['paper', { paper: 'blotter' }],
    ['liquid', { liquid: 'alcohol' }],
    ['run', { run: 'dried' as const }],
  ])('another %s is not compared, and that is said', (_, more) => {
    const table = dyeTable([...bandsOf('Tidewater', [[0.4, BLUE]]), ...bandsOf('Heron', [[0.4, BLUE]], more)]);
    expect(table.shared).toEqual([]);
    expect(table.alone).toHaveLength(2);
    expect(dyeTableNote(table)).toContain('no other ink on the same paper');
  });

  test('strips more than 5 °C apart are not compared; where nobody took a temperature they are', () => {
    const of = (temperatureC: number | null) =>
      dyeTable([
        ...bandsOf('Tidewater', [[0.4, BLUE]], { temperatureC: 18 }),
        ...bandsOf('Heron', [[0.4, BLUE]], { temperatureC }),
      ]);
    expect(of(24).shared).toEqual([]);
    expect(of(12).shared).toEqual([]);
    for (const alike of [23, 13, null]) expect(of(alike).shared).toHaveLength(1);
  });

  test('two bands of one strip are two dyes, two strips of one ink make no shared dye', () => {
    expect(
      dyeTable(
        bandsOf('Tidewater', [
          [0.4, BLUE],
          [0.405, BLUE],
        ]),
      ).shared,
    ).toEqual([]);
    const twice = [
      ...bandsOf('Tidewater', [[0.4, BLUE]]),
      ...bandsOf('Tidewater', [[0.4, BLUE]], { region: 'second' }),
    ];
    expect(dyeTable(twice).shared).toEqual([]);
  });

  test('a chain of small steps is not one dye', () => {
    const steps = Array.from({ length: 9 }, (_, i) => bandsOf(`Ink ${i}`, [[0.2 + 0.03 * i, BLUE]])).flat();
    const { shared } = dyeTable(steps);
    expect(shared.length).toBeGreaterThan(1);
    for (const { bands, worst } of shared) {
      const pairs = bands.flatMap((a, i) => bands.slice(i + 1).map((b) => likenessOf(a, b)));
      const least = Math.min(...pairs.map(({ probability }) => probability));
      expect(least).toBeGreaterThan(0.05);
      expect(worst.probability).toBe(least);
    }
  });

  test('of one strip a group holds one band, though two would do', () => {
    const { shared } = dyeTable([
      ...bandsOf('Tidewater', [
        [0.4, BLUE],
        [0.41, BLUE],
      ]),
      ...bandsOf('Heron', [[0.412, BLUE]]),
    ]);
    expect(shared.map(({ bands }) => bands.map(({ strip: s, rF }) => `${s.ink} ${rF}`))).toEqual([
      ['Tidewater 0.41', 'Heron 0.412'],
    ]);
  });

  // Two normal deviates leave exp(-chi²/2) of one dye's pairs further apart: 5 % beyond chi² = 5.99 (the usual table's 95 % at two degrees).
  test.each([
    [5.9, 1],
    [6.1, 0],
  ])('bands at χ² = %d make %d shared dye', (chi2, found) => {
    const dRF = Math.sqrt(chi2 * (2 * 0.002 ** 2 + 0.02 ** 2));
    const table = dyeTable([...bandsOf('Soot', [[0.4 + dRF, GREY]]), ...bandsOf('Heron', [[0.4, GREY]])]);
    expect(table.shared).toHaveLength(found);
    const bands = [...bandsOf('Soot', [[0.4 + dRF, BLUE]]), ...bandsOf('Heron', [[0.4, BLUE]])];
    expect(dyeTable(bands).shared).toHaveLength(found);
  });

  test('hues are compared the shorter way round', () => {
    const at = (hueDeg: number): DyeBand => ({ ...bandsOf(`Ink ${hueDeg}`, [[0.4, BLUE]])[0], hueDeg });
    expect(likenessOf(at(355), at(5)).dHueDeg).toBeCloseTo(10, 9);
    expect(likenessOf(at(10), at(350)).dHueDeg).toBeCloseTo(-20, 9);
    expect(likenessOf(at(100), at(300)).dHueDeg).toBeCloseTo(-160, 9);
  });

  test('greys are compared by place, and never with a colour', () => {
    const of = (lab: LabValue) =>
      dyeTable([...bandsOf('Soot', [[0.1, GREY]]), ...bandsOf('Heron', [[0.1, lab]])]).shared;
    expect(of([70, -2, 1])).toHaveLength(1);
    expect(of(BLUE)).toEqual([]);
  });

  test('which comes first makes no difference', () => {
    const bands = ['Tidewater', 'Heron', 'Rook'].flatMap((ink, i) =>
      bandsOf(ink, [
        [0.4 + 0.01 * i, BLUE],
        [0.8, PINK],
      ]),
    );
    const one = dyeTable(bands).shared.map((s) => s.inks.toSorted());
    expect(dyeTable(bands.toReversed()).shared.map((s) => s.inks.toSorted())).toEqual(one);
    expect(one).toHaveLength(2);
    const [a, b] = [bands[0], bands[2]];
    expect(likenessOf(a, b).probability).toBeCloseTo(likenessOf(b, a).probability, 12);
  });

  test('hue counts by the two doubts and by 7° that a dye turns with its dose, R_F by the two and 0.02', () => {
    const [a, b] = ['Tidewater', 'Heron'].map((ink, i) => bandsOf(ink, [[0.4 + 0.03 * i, BLUE]])[0]);
    const turned = { ...b, hueDeg: (a.hueDeg ?? 0) + 14 };
    const chi2 = 0.03 ** 2 / (2 * 0.002 ** 2 + 0.02 ** 2) + 14 ** 2 / (2 * a.uHueDeg ** 2 + 7 ** 2);
    expect(likenessOf(a, turned)).toMatchObject({ dHueDeg: expect.closeTo(14, 9) });
    expect(likenessOf(a, turned).probability).toBeCloseTo(Math.exp(-chi2 / 2), 9);
  });
});

test('one dye seen in twelve inks of a shelf is found in nine of ten shelves and more; unlike ones stay apart', () => {
  const random = seededRandom(4);
  const place = 0.43;
  let whole = 0;
  let mixedUp = 0;
  for (let shelf = 0; shelf < 40; shelf++) {
    const bands = Array.from({ length: 12 }, (_, i) => {
      const spread = (v: LabValue): LabValue => [
        v[0] + 8 * normal(random),
        v[1] + 1.5 * normal(random),
        v[2] + 1.5 * normal(random),
      ];
      return bandsOf(`Ink ${i}`, [
        [place + 0.012 * normal(random), spread(BLUE)],
        [0.75 + 0.012 * normal(random), spread(PINK)],
      ]);
    }).flat();
    const { shared } = dyeTable(bands);
    if (shared[0].inks.length >= 10) whole++;
    mixedUp += shared.filter((s) => new Set(s.bands.map((b) => b.band)).size > 1).length;
  }
  expect(whole).toBeGreaterThan(35);
  expect(mixedUp).toBe(0);
});

test('a table goes by hue and then by place, greys last; the dye of most inks comes first, its bands by place', () => {
  const table = dyeTable([
    ...bandsOf('Soot', [[0.1, GREY]]),
    ...bandsOf('Heron', [
      [0.71, PINK],
      [0.42, BLUE],
      [0.12, GREY],
    ]),
    ...bandsOf('Rook', [[0.41, BLUE]]),
    ...bandsOf('Tidewater', [
      [0.9, YELLOW],
      [0.7, PINK],
      [0.4, BLUE],
    ]),
    ...bandsOf('Alone', [[0.5, BLUE]], { liquid: 'alcohol' }),
  ]);
  expect(table.bands.filter(({ strip: s }) => s.liquid === 'water').map(({ rF }) => rF)).toEqual([
    0.9, 0.4, 0.41, 0.42, 0.7, 0.71, 0.1, 0.12,
  ]);
  expect(table.shared.map(({ bands }) => bands.map(({ rF }) => rF))).toEqual([
    [0.4, 0.41, 0.42],
    [0.7, 0.71],
    [0.1, 0.12],
  ]);
  expect(table.alone).toEqual([{ paper: 'filter', liquid: 'alcohol', run: 'fresh' }]);
});

test('a band whose colour is missing is left out, one without an uncertainty counts its value', () => {
  const [place, colour] = findings([[0.4, BLUE]]);
  const of = (given: readonly Quantity[]) => dyeBands(strip('Soot'), given);
  expect(of([place])).toEqual([]);
  expect(of([place, { ...colour, value: null, u: null }])).toEqual([]);
  expect(of([place, { ...colour, value: 3 }])).toEqual([]);
  expect(of([{ ...place, quantity: 'bandPosition.centroid' }, colour])).toEqual([]);
  expect(of([{ ...place, subject: { regions: ['fresh', 'dried'], band: 1 } }, colour])).toEqual([]);
  expect(
    of([
      { ...place, u: null },
      { ...colour, u: null },
    ]),
  ).toMatchObject([{ rF: 0.4, uRF: 0, uHueDeg: 0 }]);
  // A hue that nobody can tell may be any.
  expect(bandsOf('Soot', [[0.4, GREY]])[0].uHueDeg).toBe(180);
});

test('two greys in one place differ by no hue', () => {
  const [shared] = dyeTable([...bandsOf('Soot', [[0.1, GREY]]), ...bandsOf('Heron', [[0.1, GREY]])]).shared;
  expect(sharedDyeText(shared)).toContain('R_F differs by 0.000; one dye would differ by as much in 100 % of cases.');
});

test('the sentence names inks, numbers and conditions', () => {
  const [shared] = dyeTable([...bandsOf('Tidewater', [[0.4, BLUE]]), ...bandsOf('Heron', [[0.41, BLUE]])]).shared;
  expect(sharedDyeText(shared)).toBe(
    'Two inks may share one dye, vivid something: Tidewater (band 1, R_F 0.400, hue 263°); Heron (band 1, R_F 0.410, hue 263°). ' +
      'Between the two least alike R_F differs by 0.010 and hue by 0°; one dye would differ by as much in 88 % of cases. ' +
      'Strips run fresh on “filter”, with water.',
  );
  const [untold] = dyeTable([
    ...bandsOf('Tidewater', [[0.4, BLUE]], { paper: null, liquid: null, run: null }),
    ...bandsOf('Heron', [[0.41, BLUE]], { paper: null, liquid: null, run: null }),
  ]).shared;
  expect(sharedDyeText(untold)).toContain(
    'Strips whose paper nobody named, with a liquid that nobody named: taken to be the same.',
  );
});
