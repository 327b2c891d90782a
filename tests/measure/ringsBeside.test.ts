/** Rings of two strokes that reach into one another, and what is told where few hairs are seen. */
import { expect, test } from 'vitest';
import { mostOfCount } from '../../analysis/measure/edge/excursions.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { pathOf, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { measureDrawing } from '../../study/edges/trial.ts';
import { strokesPage } from './strokesPage.ts';

/** With the neighbour's ring it read 0.44 mm. */
test('a halo is as wide as one stroke’s own ring', () => {
  const strokes = [2, 3.3].map((y) =>
    strokeAlong(
      pathOf((t) => [2 + 16 * t, y + 0.7 * t]),
      () => 0.25,
      () => 1.2,
      { shape: smoothEdge() },
      seededRandom(5),
    ),
  );
  const ring = { widthMm: 0.4, transmittance: [0.85, 0.9, 0.95] } as const;
  const page = strokesPage(strokes, { widthMm: 20, heightMm: 6.5, halo: ring });
  const { quantities } = measureDrawing(page, null);
  const halo = quantities.find(({ quantity }) => quantity === 'halo');
  expect(Math.abs(Number(halo?.value) - 0.4)).toBeLessThan(0.01);
  // Half of what was taken off stays in doubt.
  expect(Number(halo?.u)).toBeGreaterThan(0.01);
  expect(Number(halo?.u)).toBeLessThan(0.03);
});

test.each([
  // Half of the 97.5th percentile of χ² with 2 (n + 1) degrees of freedom, as printed in tables of Garwood's limits.
  [0, 3.689],
  [1, 5.572],
  [4, 10.242],
  [10, 18.39],
])('of a count of %i up to %f may be there', (count, most) => {
  expect(Math.abs(mostOfCount(count) - most)).toBeLessThan(0.025);
});
