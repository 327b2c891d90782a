/** A fresh strip against the dried one, on made-up bands: which band is which, and what drying changed of it. */
import { describe, expect, test } from 'vitest';
import { runShift } from '../../analysis/measure/strip/runShift.ts';
import { told, type Band, type StripMeasure } from '../../analysis/measure/strip/strip.ts';
import type { Flag, LabValue } from '../../analysis/quantity.ts';

interface Dye {
  readonly rF: number;
  readonly hueDeg?: number;
  readonly chroma?: number;
  readonly share?: number;
  readonly flags?: readonly Flag[];
}

function band({ rF, hueDeg = 250, chroma = 40, share = 50, flags = [] }: Dye, index: number): Band {
  const turn = (hueDeg * Math.PI) / 180;
  const colour: LabValue = [60, chroma * Math.cos(turn), chroma * Math.sin(turn)];
  const none = new Float64Array(0);
  const place = told(rF, 0.003, 0.004);
  return {
    number: index + 1,
    apexMm: 70 * rF,
    spanMm: [70 * rF - 2, 70 * rF + 2],
    rF: place,
    centroid: place,
    widthMm: told(4, 0, 0),
    tail: told(1, 0, 0),
    baseMm: 7,
    resolution: null,
    heights: [0.2, 0.2, 0.2],
    uHeights: [0.01, 0.01, 0.01],
    colour,
    colourParts: { repeatability: [0, 0, 0], calibration: [0, 0, 0], placement: [0, 0, 0] },
    sharePercent: told(share, 0.6, 0.8),
    alone: [none, none, none],
    flags,
  };
}

function strip(id: string, dyes: readonly Dye[], more: Partial<StripMeasure> = {}): StripMeasure {
  const none = new Float64Array(0);
  return {
    id,
    travel: 'up',
    quantities: [],
    profile: {
      positionMm: none,
      absorbance: [none, none, none],
      fitted: [none, none, none],
      noise: [0, 0, 0],
      lab: [],
    },
    bands: dyes.map(band),
    law: 'densities',
    originRetained: told(5, 0.3, 0.4),
    frontDistance: told(70, 0, 0.2),
    originMm: 80,
    frontMm: 10,
    flags: [],
    ...more,
  };
}

/** What became of each fresh band in R_F; null: it has no partner. */
function shifts(fresh: readonly Dye[], dried: readonly Dye[]): (number | null)[] {
  return runShift(strip('fresh', fresh), strip('dried', dried)).flatMap(({ quantity, value }) =>
    quantity === 'runShift' ? [value === null ? null : Number(Number(value).toFixed(6))] : [],
  );
}

test('differences are dried minus fresh, with the doubts of both in quadrature', () => {
  const fresh = strip('fresh', [{ rF: 0.5, share: 60 }]);
  const dried = strip('dried', [{ rF: 0.42, share: 55 }], {
    originRetained: told(17, 1.2, 1.6),
    frontDistance: told(66, 0.3, 0.1),
  });
  const [place, share, origin, front] = runShift(fresh, dried);
  expect(place).toMatchObject({ quantity: 'runShift', unit: '1', subject: { regions: ['fresh', 'dried'], band: 1 } });
  expect(place.value).toBeCloseTo(-0.08, 9);
  expect(place.u).toBeCloseTo(Math.SQRT2 * 0.005, 9);
  expect(place.uParts?.repeatability).toBeCloseTo(Math.SQRT2 * 0.003, 9);
  expect(place.uParts?.placement).toBeCloseTo(Math.SQRT2 * 0.004, 9);
  expect(share.value).toBeCloseTo(-5, 9);
  expect(share.u).toBeCloseTo(Math.SQRT2, 9);
  expect(origin.value).toBeCloseTo(12, 9);
  expect(origin.u).toBeCloseTo(Math.hypot(0.5, 2), 9);
  expect(front.value).toBeCloseTo(-4, 9);
});

// The steps at which a place or a hue makes two dyes of one are common practice, no source.
describe('which band is which', () => {
  test('one dye goes as far as nearly 1.5 steps of 0.25 in R_F, and no farther', () => {
    expect(shifts([{ rF: 0.6 }], [{ rF: 0.6 - 1.4 * 0.25 }])).toEqual([-0.35]);
    expect(shifts([{ rF: 0.6 }], [{ rF: 0.6 - 1.6 * 0.25 }])).toEqual([null]);
  });

  test('… or turns as far as nearly 1.5 steps of 40°, the short way round', () => {
    expect(shifts([{ rF: 0.5, hueDeg: 350 }], [{ rF: 0.5, hueDeg: 46 }])).toEqual([0]);
    expect(shifts([{ rF: 0.5, hueDeg: 350 }], [{ rF: 0.5, hueDeg: 54 }])).toEqual([null]);
  });

  test('hue before place: dyes that changed places are told by their colours', () => {
    const [blue, yellow] = [250, 90];
    const fresh = [
      { rF: 0.3, hueDeg: blue },
      { rF: 0.5, hueDeg: yellow },
    ];
    const dried = [
      { rF: 0.4, hueDeg: yellow },
      { rF: 0.45, hueDeg: blue },
    ];
    expect(shifts(fresh, dried)).toEqual([0.15, -0.1]);
  });

  test('two greys have no hue that could part them; a grey is no strong colour', () => {
    const grey = { rF: 0.5, chroma: 5 };
    expect(shifts([{ ...grey, hueDeg: 20 }], [{ ...grey, hueDeg: 200 }])).toEqual([0]);
    // A quarter turn is worth 2.25 steps, a grey against a colour at most one: only with a way of more than 1.1 steps they are two.
    const strong = { rF: 0.5 + 1.2 * 0.25, chroma: 60 };
    expect(shifts([grey], [strong])).toEqual([null]);
    expect(shifts([grey], [{ ...strong, chroma: 9 }])).toEqual([0.3]);
  });

  test('a band without partner says so; one that is left over is said of what stayed at the origin', () => {
    const lost = runShift(strip('fresh', [{ rF: 0.3 }, { rF: 0.8, hueDeg: 90 }]), strip('dried', [{ rF: 0.3 }]));
    const second = lost.filter(({ subject }) => subject.band === 2);
    expect(second.map(({ value, u }) => [value, u])).toEqual([
      [null, null],
      [null, null],
    ]);
    for (const { flags } of second) expect(flags).toContain('unmatched');
    const more = runShift(strip('fresh', [{ rF: 0.3 }]), strip('dried', [{ rF: 0.3 }, { rF: 0.8, hueDeg: 90 }]));
    const flagsOf = (name: string) => more.find(({ quantity }) => quantity === name)?.flags;
    expect(flagsOf('runShift.originRetained')).toContain('unmatched');
    expect(flagsOf('runShift')).not.toContain('unmatched');
  });
});

test('flags of either strip and of either band go with the difference; that one strip has no bands does not', () => {
  const fresh = strip('fresh', [{ rF: 0.3, flags: ['saturated'] }], { flags: ['clipped'] });
  const dried = strip('dried', [{ rF: 0.3, flags: ['overlapped'] }], { flags: ['by-hand'] });
  expect(runShift(fresh, dried)[0].flags).toEqual(['clipped', 'by-hand', 'saturated', 'overlapped']);
  const empty = runShift(strip('fresh', [], { flags: ['no-bands'] }), dried);
  expect(empty[0]).toMatchObject({ quantity: 'runShift', value: null, u: null });
  expect(empty[0].flags).toContain('no-bands');
  expect(empty.find(({ quantity }) => quantity === 'runShift.front')?.flags).toEqual(['by-hand']);
});

test('without a front on one of them no place has shifted', () => {
  const dried = strip('dried', [{ rF: 0.3 }], { frontDistance: null });
  const front = runShift(strip('fresh', [{ rF: 0.3 }]), dried).at(-1);
  expect(front).toMatchObject({ quantity: 'runShift.front', value: null, u: null });
  expect(front?.flags).toContain('cannot-tell');
});
