/** The light over the bed from bare card, on made-up readings of a known light. */
import { describe, expect, test } from 'vitest';
import type { PatchReading, PointMm, SurroundReading, ToneCurve } from '../../analysis/calibrate/calibration.ts';
import { unevenPatches } from '../../analysis/calibrate/covered.ts';
import { lightAt } from '../../analysis/calibrate/flatField.ts';
import { fitFlatField, paleSurround } from '../../analysis/calibrate/flatFieldFit.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

/** Device = light^(1/2.2). */
const knots = Array.from({ length: 257 }, (_, i) => i / 256);
const curve: ToneCurve = { device: knots, linear: knots.map((v) => v ** 2.2), exponent: 2.2, flare: 0 };
const curves = [curve, curve, curve] as const;

/** Falls off by 2 % across and bows by 3 % along, each channel a little otherwise. */
const bowed = (c: number, [x, y]: PointMm): number =>
  0.8 * (1 + 0.01 * ((x - 60) / 60) - (0.03 + 0.004 * c) * ((y - 50) / 50) ** 2);

function reading(place: PointMm, light: typeof bowed, factor = 1): SurroundReading {
  const [r, g, b] = [0, 1, 2].map((c) => (factor * light(c, place)) ** (1 / 2.2));
  return { device: [r, g, b], pixels: 500, placeMm: place };
}

const grid = (stepMm: number, keep: (place: PointMm) => boolean = () => true): PointMm[] =>
  Array.from({ length: Math.floor(120 / stepMm) + 1 }, (_, i) =>
    Array.from({ length: Math.floor(100 / stepMm) + 1 }, (_, j): PointMm => [stepMm * i, stepMm * j]),
  )
    .flat()
    .filter(keep);

/** Largest departure from the light, which has a mean of 1 over the readings. */
function worst(places: readonly PointMm[], factorAt: (i: number) => number = () => 1): number {
  const field = fitFlatField(
    places.map((place, i) => reading(place, bowed, factorAt(i))),
    curves,
  )!;
  return Math.max(
    ...[0, 1, 2].map((c) => {
      const mean = places.reduce((sum, place) => sum + bowed(c, place), 0) / places.length;
      return Math.max(...places.map((place) => Math.abs((lightAt(field, c, place) * mean) / bowed(c, place) - 1)));
    }),
  );
}

describe('the light of bare card', () => {
  test('is followed exactly where it is a quadratic, per channel', () => {
    expect(worst(grid(10))).toBeLessThan(1e-8);
  });

  test('a stain on a twelfth of the card has no say', () => {
    expect(worst(grid(10), (i) => (i % 12 === 5 ? 0.8 : 1))).toBeLessThan(1e-8);
  });

  test('read along two edges only, a plane is all that is told', () => {
    const edges = grid(2, ([, y]) => y < 3 || y > 97);
    const field = fitFlatField(
      edges.map((place) => reading(place, bowed)),
      curves,
    )!;
    // The bow along is not seen; the slope across is.
    expect(lightAt(field, 1, [60, 50])).toBeCloseTo(lightAt(field, 1, [60, 0]), 3);
    expect(lightAt(field, 1, [120, 50]) / lightAt(field, 1, [0, 50])).toBeCloseTo(
      bowed(1, [120, 0]) / bowed(1, [0, 0]),
      3,
    );
  });

  test.each([
    [
      'eleven readings',
      grid(10)
        .filter((_, i) => i % 13 === 0)
        .slice(0, 11),
    ],
    ['readings in a row', grid(10, ([x]) => x === 60)],
  ])('%s tell none', (_, places) => {
    expect(
      fitFlatField(
        places.map((place) => reading(place, bowed)),
        curves,
      ),
    ).toBeNull();
  });

  // Bare card scatters by thousandths; 0.02 is common practice, no source.
  test('a scatter of 0.012 of the light about it is told, of 0.03 it is no light', () => {
    const scattered = (sd: number) => {
      const random = seededRandom(4);
      // Even from −√3 to √3 standard deviations.
      const factor = () => 1 + sd * Math.sqrt(3) * (2 * random() - 1);
      return fitFlatField(
        grid(6).map((place) => reading(place, bowed, factor())),
        curves,
      );
    };
    // The median of what an even distribution is off by is √3/2 standard deviations; 1.4826 of it would be a normal one's.
    expect(scattered(0.012)?.residual).toBeCloseTo(1.4826 * 0.5 * Math.sqrt(3) * 0.012, 2);
    expect(scattered(0.03)).toBeNull();
  });

  test('a frame below an eighth of the lightest patch’s light tells none, a grey one does', () => {
    const patches = [{ device: [0.95, 0.95, 0.95] as const }];
    const frame = (share: number) => grid(20).map((place) => reading(place, () => share * 0.95 ** 2.2));
    expect(paleSurround(frame(0.11), patches, curves)).toEqual([]);
    expect(paleSurround(frame(0.13), patches, curves)).toHaveLength(frame(0.13).length);
  });
});

describe('patches that are not even inside', () => {
  const patch = (id: string, more: Partial<PatchReading>): PatchReading => ({
    id,
    grey: false,
    device: [0.5, 0.5, 0.5],
    sd: [0.004, 0.004, 0.004],
    pixels: 400,
    clippedShare: 0,
    centreMm: [0, 0],
    ...more,
  });

  // 0.035 of the scale and 4 % of the pixels: study of target faults.
  test.each([
    ['quarters apart by 0.034', { quarterSpread: 0.034, strayShare: 0 }, false],
    ['quarters apart by 0.036', { quarterSpread: 0.036, strayShare: 0 }, true],
    ['3.9 % of stray pixels', { quarterSpread: 0, strayShare: 0.039 }, false],
    ['4.1 % of stray pixels', { quarterSpread: 0, strayShare: 0.041 }, true],
  ])('%s', (_, evenness, isUneven) => {
    expect([...unevenPatches([patch('p', { evenness })])]).toEqual(isUneven ? ['p'] : []);
  });

  test.each([
    ['0.06, six times that of its like', 0.06, 0.0095, true],
    ['0.06, less than six times that of its like', 0.06, 0.0105, false],
    ['0.045, however even its like are', 0.045, 0.001, false],
  ])('a scatter of %s, where nothing else is known', (_, own, others, isUneven) => {
    const like = Array.from({ length: 12 }, (_, k) =>
      patch(`like${k}`, { device: [0.5 + 0.002 * k, 0.5, 0.5], sd: [others, others, others] }),
    );
    // Far off in value others scatter as they like.
    const unlike = Array.from({ length: 30 }, (_, k) =>
      patch(`other${k}`, { device: [0.9, 0.1, 0.1], sd: [0.04, 0, 0] }),
    );
    const odd = patch('odd', { sd: [0.002, own, 0.002] });
    expect([...unevenPatches([...like, odd, ...unlike])]).toEqual(isUneven ? ['odd'] : []);
  });
});
