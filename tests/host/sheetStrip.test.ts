/** What a sheet may say of a strip beside its box, and what is asked of it then. */
import { describe, expect, test } from 'vitest';
import { isMeasurable, measureOf } from '../../electron/jobs/measurable.ts';
import { placeRegions } from '../../electron/sheet/placeRegions.ts';
import { regionSchema } from '../../electron/sheet/sheetSchema.ts';

const strip = { id: 's', scan: 'page', kind: 'strip', boxMm: [10, 10, 20, 90] };

function asked(more: object) {
  const region = { ...regionSchema.parse({ ...strip, ...more }), paper: null };
  if (!isMeasurable(region)) throw new Error('it has no box');
  return measureOf(region);
}

describe('bands by hand', () => {
  test('set, taken away and joined', () => {
    const bands = [{ rF: 0.42 }, { rF: 0.8, removed: true }, { rF: 0.1, with: 0.2 }];
    expect(asked({ bands })).toMatchObject({
      bands: [
        { says: 'band', rF: 0.42 },
        { says: 'none', rF: 0.8 },
        { says: 'one', rF: 0.1, with: 0.2 },
      ],
    });
    expect(asked({})).toMatchObject({ bands: [], runS: null });
  });

  test.each([
    ['beyond the front', [{ rF: 1.2 }]],
    ['before the origin', [{ rF: -0.1 }]],
    ['not taken away', [{ rF: 0.2, removed: false }]],
    ['joined and taken away', [{ rF: 0.2, removed: true, with: 0.3 }]],
    ['a bare number', [0.4]],
  ])('%s is refused', (_, bands) => {
    expect(regionSchema.safeParse({ ...strip, bands }).success).toBe(false);
  });
});

test('time, liquid and temperature', () => {
  expect(asked({ runS: 600, liquid: 'water', temperatureC: 21 })).toMatchObject({ runS: 600 });
  for (const wrong of [{ runS: 0 }, { runS: '600' }, { liquid: ' ' }, { temperatureC: 400 }]) {
    expect(regionSchema.safeParse({ ...strip, ...wrong }).success).toBe(false);
  }
});

describe('a strip that lies on its side', () => {
  const info = { widthPx: 1000, heightPx: 1000 };
  const placed = (more: object) => {
    const warnings: string[] = [];
    const region = regionSchema.parse({ ...strip, boxMm: [5, 5, 70, 18], ...more });
    const scans = new Map([['page', { id: 'page', info, dpi: 300, paper: null }]]);
    const { regions, problems } = placeRegions({ regions: [region] }, scans, new Map(), warnings);
    return { travel: regions.map((one) => (one.kind === 'strip' ? one.travel : null)), problems, warnings };
  };

  test('ran along its box, to the right or as its two distances say', () => {
    expect(placed({})).toEqual({ travel: ['right'], problems: [], warnings: [] });
    expect(placed({ originMm: 60, frontMm: 5 }).travel).toEqual(['left']);
    expect(placed({ boxMm: [5, 5, 18, 70] }).travel).toEqual([undefined]);
    expect(placed({ travel: 'left' })).toEqual({ travel: ['left'], problems: [], warnings: [] });
  });

  test('a travel across it, as after a quarter turn of the scan, is told in one line', () => {
    const { travel, warnings } = placed({ travel: 'up' });
    expect(travel).toEqual(['up']);
    expect(warnings).toEqual([
      'region "s": "travel" is "up", across its box of 70 × 18 mm; a strip runs lengthwise. If the scan was turned, turn the travel with it: "left" or "right"',
    ]);
  });
});
