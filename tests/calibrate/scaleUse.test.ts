/** The comb that a tone curve leaves over whole numbers, on values drawn by chance. */
import { describe, expect, test } from 'vitest';
import { isOtherScale, scaleCounter, type ScaleUse } from '../../analysis/calibrate/scaleUse.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const PIXELS = 60_000;

interface Scan {
  readonly bits: 8 | 16;
  /** Values that the converter resolves. */
  readonly steps: number;
  readonly seed: number;
  /** What software lays over the whole numbers, 0..1. */
  readonly curve?: (value: number) => number;
}

/** Paper, ink and what lies between them, with noise. */
function useOf({ bits, steps, seed, curve = (v) => v }: Scan): ScaleUse {
  const random = seededRandom(seed);
  const top = 2 ** bits - 1;
  const data = new (bits === 16 ? Uint16Array : Uint8Array)(3 * PIXELS);
  for (let i = 0; i < data.length; i++) {
    const place = random();
    const light = place < 0.6 ? 0.9 : place < 0.8 ? 0.3 : 0.3 + 0.6 * random();
    const code = Math.round((light + 0.01 * normal(random)) * (steps - 1)) / (steps - 1);
    const laid = Math.min(1, Math.max(0, curve(code)));
    data[i] = steps === 256 ? (top / 255) * Math.round(255 * laid) : Math.round(top * laid);
  }
  const counter = scaleCounter(bits);
  counter.take({ data, widthPx: PIXELS / 100, heightPx: 100 });
  return counter.done();
}

const brighter = (v: number): number => 1.05 * v;
const harder = (v: number): number => v ** 1.2;

describe.each([
  ['8 bits', { bits: 8, steps: 256 }],
  ['16 bits of which the converter resolves 11', { bits: 16, steps: 2 ** 11 }],
  ['16 bits that repeat 8', { bits: 16, steps: 256 }],
] satisfies [string, Pick<Scan, 'bits' | 'steps'>][])('%s', (_, scale) => {
  const target = useOf({ ...scale, seed: 1 });

  test('two scans made alike have one scale, whatever is laid over both', () => {
    expect(isOtherScale(target, useOf({ ...scale, seed: 2 }))).toBe(false);
    for (const curve of [brighter, harder]) {
      expect(isOtherScale(useOf({ ...scale, seed: 1, curve }), useOf({ ...scale, seed: 2, curve }))).toBe(false);
    }
  });

  test.each([
    ['brighter', brighter],
    ['harder', harder],
  ])('one that was made %s afterwards has another, whichever of the two it is', (_, curve) => {
    const page = useOf({ ...scale, seed: 2, curve });
    expect([isOtherScale(target, page), isOtherScale(page, target)]).toEqual([true, true]);
  });
});

test('a converter’s own gaps beside a scan whose gaps were filled, as turning it does, tell nothing', () => {
  const target = useOf({ bits: 16, steps: 2 ** 11, seed: 1 });
  const turned = useOf({ bits: 16, steps: 2 ** 16, seed: 2 });
  expect([isOtherScale(target, turned), isOtherScale(turned, target)]).toEqual([false, false]);
});

test('8 and 16 bits are not held against each other', () => {
  const curve = brighter;
  expect(isOtherScale(useOf({ bits: 8, steps: 256, seed: 1, curve }), useOf({ bits: 16, steps: 4096, seed: 2 }))).toBe(
    false,
  );
});

test('every other row is enough', () => {
  const [all, some] = [scaleCounter(8), scaleCounter(8)];
  const data = Uint8Array.from({ length: 3 * 1000 * 40 }, (_, i) => (Math.floor(i / 3000) % 2 === 0 ? 100 : 200));
  const raster = { data, widthPx: 1000, heightPx: 40 };
  all.take(raster);
  some.take(raster, 2);
  expect([all.done().channels[0][200], some.done().channels[0][200]]).toEqual([1, 0]);
});
