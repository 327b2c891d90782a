/** A target that lies in its scan in another size than its layout says. */
import { expect, it } from 'vitest';
import { sizeCaution } from '../../analysis/calibrate/sizeCaution.ts';
import type { Point } from '../../analysis/raster/homography.ts';

const POINTS: [Point, Point, Point, Point] = [
  [0, 0],
  [118, 0],
  [118, 73],
  [0, 73],
];
const CHART = { pointsMm: POINTS };
const CARD = { pointsMm: POINTS, fiducial: { shape: 'disc', radiusMm: 2.5, eyeMm: 1 } } as const;

/** Stretched across and down, then turned; at 300 dpi. */
function lying(across: number, down: number, turnDeg = 0): Point[] {
  const [cos, sin] = [Math.cos((turnDeg * Math.PI) / 180), Math.sin((turnDeg * Math.PI) / 180)];
  // A picture is stretched after the target was laid down askew.
  return POINTS.map(([x, y]): Point => [
    500 + ((x * cos - y * sin) * across * 300) / 25.4,
    400 + ((x * sin + y * cos) * down * 300) / 25.4,
  ]);
}

it.each([0, 2, 45, 90])('stretched by 4 %% and turned by %d° it is told so, with discs and without', (turnDeg) => {
  for (const layout of [CARD, CHART]) {
    expect(sizeCaution(layout, lying(1.04, 1, turnDeg), 300)).toMatchObject({
      code: 'other-size',
      words: expect.stringMatching(/^The target lies 4 % longer one way than the other/),
    });
  }
});

it('larger both ways: told of a card with discs, of which the size is known, and not of a chart', () => {
  expect(sizeCaution(CARD, lying(1.033, 1.033, 20), 300)?.words).toMatch(
    /at 103\.3 % of its layout's size.*dpi \(300\)/,
  );
  expect(sizeCaution(CARD, lying(0.96, 0.96), 300)?.words).toMatch(/at 96\.0 %/);
  expect(sizeCaution(CHART, lying(0.5, 0.5), 300)).toBeNull();
});

it('nothing is said of what a ruler, a print and a scanner are off by anyway', () => {
  expect(sizeCaution(CARD, lying(1.012, 0.99, 33), 300)).toBeNull();
  expect(sizeCaution(CARD, lying(1, 1, 181), 300)).toBeNull();
});
