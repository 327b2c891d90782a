/** A hue with its doubt, and colours that have none. */
import { expect, test } from 'vitest';
import { hueWithDoubt } from '../../analysis/hueWithDoubt.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const at = (deg: number, chroma: number): LabValue => [
  50,
  chroma * Math.cos((deg * Math.PI) / 180),
  chroma * Math.sin((deg * Math.PI) / 180),
];

test.each([5, 95, 185, 275, 355])('its spread is that of colours drawn about %d°', (deg) => {
  const [, a, b] = at(deg, 30);
  const u: LabValue = [2, 0.4, 1.1];
  const random = seededRandom(60_001);
  const drawn = Array.from({ length: 4000 }, () => {
    const other = Math.atan2(b + u[2] * normal(random), a + u[1] * normal(random)) * (180 / Math.PI);
    return ((((other - deg) % 360) + 540) % 360) - 180;
  });
  const spread = Math.sqrt(drawn.reduce((sum, away) => sum + away ** 2, 0) / drawn.length);
  const hue = hueWithDoubt([50, a, b], u);
  expect(hue?.deg).toBeCloseTo(deg, 6);
  expect(Number(hue?.u) / spread).toBeCloseTo(1, 1);
});

test('a grey has none, and neither has a colour whose hue may be any', () => {
  // The limit of chroma is common practice, no source.
  expect(hueWithDoubt(at(200, 7.9), [0, 0, 0])).toBeNull();
  expect(hueWithDoubt(at(200, 8.1), [0, 0, 0])?.deg).toBeCloseTo(200, 6);
  expect(hueWithDoubt(at(0, 10), [0, 0, 15.6])?.u).toBeCloseTo(89.4, 1);
  expect(hueWithDoubt(at(0, 10), [0, 0, 15.8])).toBeNull();
});
