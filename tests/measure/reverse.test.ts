/** The back of a page on drawn pages with exact truth (study/backPages.ts); docs/study/show-through.md has many more. */
import { describe, expect, test } from 'vitest';
import { registerSheets } from '../../analysis/locate/registerSheets.ts';
import { overPaperNear } from '../../analysis/measure/showThrough/paperNear.ts';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import { coarserMap, gridMapOf } from '../../analysis/raster/gridMap.ts';
import { affineOf, inverseAffine } from '../../analysis/raster/similarity.ts';
import type { BackOptions } from '../../study/backPages.ts';
import { measuredBack } from '../../study/showThrough.ts';

const SMALL: BackOptions = { widthMm: 48, heightMm: 21, frontDpi: 300, backDpi: 300, cellsPerMm: 20 };

function of(quantities: readonly Quantity[], name: QuantityName): Quantity {
  const found = quantities.find(({ quantity }) => quantity === name);
  expect(found).toBeDefined();
  return found!;
}

describe('a sheet’s two sides', () => {
  test.each<[number, BackOptions]>([
    [11, { ghost: 0.06, dots: 4, lineMm: 0.8 }],
    [12, { ghost: 0.03, dots: 2, lineMm: 0.5, turned: 'about-horizontal' }],
    [13, { ghost: 0.15, dots: 0, lineMm: 1, backDpi: 600, cellsPerMm: 40 }],
  ])('page %i: what shows and what came through are the drawn ones', (seed, options) => {
    const { page, measure } = measuredBack(seed, { ...SMALL, ...options });
    const ghosting = of(measure.quantities, 'ghosting');
    expect(Math.abs(Number(ghosting.value) - page.truth.ghosting)).toBeLessThan(0.3);
    expect(Math.abs(Number(ghosting.value) - page.truth.ghosting)).toBeLessThan(2.5 * Number(ghosting.u));
    const density = of(measure.quantities, 'ghosting.printThrough');
    expect(Number(density.value)).toBeCloseTo(page.truth.printThrough, 2);
    expect(of(measure.quantities, 'bleedThrough.dots').value).toBe(page.truth.dots);
    const area = Number(of(measure.quantities, 'bleedThrough.area').value);
    expect(area).toBeGreaterThanOrEqual(0.85 * page.truth.dotsMm2);
    expect(area).toBeLessThanOrEqual(1.1 * page.truth.dotsMm2);
    const percent = Number(of(measure.quantities, 'bleedThrough').value);
    expect(Math.abs(percent - page.truth.bleedPercent)).toBeLessThanOrEqual(0.15 * page.truth.bleedPercent);
    expect(measure.registration?.place.turned).toBe(page.place.turned);
  });

  test('the back of another sheet is refused, and says so', () => {
    const { measure } = measuredBack(14, { ...SMALL, ghost: 0.08, otherSheet: true, dots: 0 });
    const ghosting = of(measure.quantities, 'ghosting');
    expect([ghosting.value, ghosting.u]).toEqual([null, null]);
    expect(ghosting.flags).toContain('not-registered');
    expect(of(measure.quantities, 'bleedThrough.dots').value).toBeNull();
  });

  test('a reverse that is not mirrored is told from one that is', () => {
    const { measure } = measuredBack(15, { ...SMALL, ghost: 0.1, dots: 0, turned: 'not' });
    expect(of(measure.quantities, 'ghosting').flags).toContain('unmirrored');
    expect(of(measure.quantities, 'ghosting').value).toBeNull();
  });

  test('a back that was scanned on its side is not taken for an unmirrored one', () => {
    const options = { widthMm: 46, heightMm: 22, frontDpi: 300, backDpi: 300, ghost: 0.12, dots: 4, lineMm: 0.8 };
    const { measure } = measuredBack(21, { ...options, onItsSide: true });
    expect(of(measure.quantities, 'ghosting')).toMatchObject({ value: null, flags: ['not-registered'] });
  });

  test('a back on which nothing shows has no ghosting to speak of, and that is an answer', () => {
    const { measure } = measuredBack(16, { ...SMALL, ghost: 0, dots: 0 });
    const ghosting = of(measure.quantities, 'ghosting');
    expect(Math.abs(Number(ghosting.value))).toBeLessThan(0.15);
    expect(ghosting.verdict).toBe('none');
    expect(of(measure.quantities, 'bleedThrough.dots').value).toBe(0);
  });

  test('dots on another sheet’s back, which shows no more, are not taken for none', () => {
    const { page, measure } = measuredBack(18, { ...SMALL, ghost: 0, dots: 4, otherSheet: true });
    expect(page.truth.dots).toBeGreaterThan(1);
    const dots = of(measure.quantities, 'bleedThrough.dots');
    // Where they lie on lines by chance, they are counted; they are never denied.
    expect(dots.value === null || Number(dots.value) > 0).toBe(true);
  });

  test('a reverse alone tells its ghosting and cannot tell what came through', () => {
    const { page, measure } = measuredBack(17, { ...SMALL, ghost: 0.12, dots: 0, lineMm: 0.9, alone: true });
    const ghosting = of(measure.quantities, 'ghosting');
    expect(ghosting.flags).toContain('no-front');
    expect(Math.abs(Number(ghosting.value) - page.truth.ghosting)).toBeLessThan(0.5);
    expect(of(measure.quantities, 'bleedThrough').value).toBeNull();
  });
});

describe('the sheet under', () => {
  test('dots that reached it are counted, with nothing turned over', () => {
    const { page, measure } = measuredBack(24, { ...SMALL, ghost: 0, dots: 4, turned: 'not', next: true });
    expect(page.truth.dots).toBeGreaterThan(1);
    const dots = of(measure.quantities, 'bleedThrough.next');
    expect(dots.value).toBe(page.truth.dots);
    const area = Number(of(measure.quantities, 'bleedThrough.nextArea').value);
    expect(area / page.truth.dotsMm2).toBeGreaterThan(0.85);
    expect(area / page.truth.dotsMm2).toBeLessThan(1.15);
    expect(measure.quantities).toHaveLength(2);
  });

  test('a clean one is an answer', () => {
    const { measure } = measuredBack(25, { ...SMALL, ghost: 0, dots: 0, turned: 'not', next: true });
    expect(of(measure.quantities, 'bleedThrough.next')).toMatchObject({ value: 0, flags: [] });
  });
});

test('sides scanned with different settings are not held against each other', () => {
  const { measure } = measuredBack(26, { ...SMALL, dots: 0, frontFlags: ['settings-changed'] });
  for (const { value, flags } of measure.quantities) {
    expect(value).toBeNull();
    expect(flags).toEqual(['settings-changed']);
  }
  expect(measure.quantities.length).toBeGreaterThan(3);
});

describe('maps of two sides', () => {
  test('a grid of cells holds the means of its pixels, about the same middle', () => {
    const values = Float32Array.from({ length: 40 * 20 }, (_, i) => i % 40);
    const map = gridMapOf(values, 40, 20, 254, 0.5);
    expect([map.columns, map.rows, map.stepMm]).toEqual([8, 4, 0.5]);
    expect(Array.from(map.data.slice(0, 8))).toEqual([2, 7, 12, 17, 22, 27, 32, 37]);
    expect(Array.from(coarserMap(map, 2).data.slice(0, 4))).toEqual([4.5, 14.5, 24.5, 34.5]);
  });

  test('a place and its inverse undo each other', () => {
    const there = affineOf({ turned: 'about-vertical', angleRad: 0.03, scale: 1.01, shiftMm: [2, -1] });
    const back = inverseAffine(there);
    const [x, y] = [there.a * 7 + there.b * 5 + there.c, there.d * 7 + there.e * 5 + there.f];
    expect([back.a * x + back.b * y + back.c, back.d * x + back.e * y + back.f]).toEqual([
      expect.closeTo(7, 9),
      expect.closeTo(5, 9),
    ]);
    // Turned about a vertical axis, what was left is right.
    expect(there.a).toBeLessThan(0);
  });

  test('an empty side has no place', () => {
    const map = { data: new Float32Array(400), columns: 20, rows: 20, stepMm: 0.1 };
    expect(registerSheets(map, map)).toBeNull();
  });

  test('light that falls off across the page leaves the ratio to the paper near', () => {
    const [w, h] = [300, 120];
    const y = Float32Array.from({ length: w * h }, (_, i) => 0.9 - 0.2 * ((i % w) / w));
    const counts = new Uint8Array(w * h).fill(1);
    const middle = overPaperNear(y, counts, w, h, 300).slice(60 * w + 60, 60 * w + w - 60);
    expect(Math.max(...middle.map((v) => Math.abs(v - 1)))).toBeLessThan(2e-3);
  });
});
