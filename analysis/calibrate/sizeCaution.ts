/** Whether a target lies in its scan as large as its layout says, and alike both ways: lengths in mm rest on that, colours do not. */
import { type Homography, homography, mapPoint, type Point } from '../raster/homography.ts';
import type { Caution, TargetLayout } from './calibration.ts';

/** A ruler's half millimetre on a small chart, and a print's own stretch, stay below. */
export const MOST_STRETCH = 0.03;
/** As much as a card may be off that is to be taught. */
export const MOST_RESIZED = 0.02;

/**
 * @param layout Charts without discs are made in several sizes: theirs tells nothing.
 * @param pointsPx Where the layout's four points lie, px of the scan.
 */
export function sizeCaution(
  { pointsMm, fiducial }: Pick<TargetLayout, 'pointsMm' | 'fiducial'>,
  pointsPx: readonly Point[],
  dpi: number,
): Caution | null {
  const [long, short] = stretches(homography(pointsMm, pointsPx), middleOf(pointsMm));
  const stretch = long / short - 1;
  if (stretch > MOST_STRETCH) {
    return {
      code: 'other-size',
      words:
        `The target lies ${percent(stretch)} longer one way than the other, against its layout; below ${percent(MOST_STRETCH)} is expected. ` +
        `Lengths are wrong by as much: scan with one resolution both ways, leave the picture's proportions as they were, and check the layout's millimetres.`,
    };
  }
  const size = (Math.sqrt(long * short) * 25.4) / dpi;
  if (fiducial === undefined || Math.abs(size - 1) <= MOST_RESIZED) return null;
  return {
    code: 'other-size',
    words:
      `The target lies in the scan at ${(100 * size).toFixed(1)} % of its layout's size; 100 % is expected, within ${percent(MOST_RESIZED)}. ` +
      `Lengths are wrong by as much unless it was printed so: check the scan's dpi (${dpi}), and print at 100 %.`,
  };
}

/** How many px a millimetre takes at a place, most and least over all directions: the singular values of the map there. */
function stretches(toPx: Homography, [x, y]: Point): readonly [most: number, least: number] {
  const [right, left] = [mapPoint(toPx, [x + 0.5, y]), mapPoint(toPx, [x - 0.5, y])];
  const [below, above] = [mapPoint(toPx, [x, y + 0.5]), mapPoint(toPx, [x, y - 0.5])];
  const [a, c] = [right[0] - left[0], right[1] - left[1]];
  const [b, d] = [below[0] - above[0], below[1] - above[1]];
  const sum = a * a + b * b + c * c + d * d;
  const root = Math.sqrt(Math.max(0, sum * sum - 4 * (a * d - b * c) ** 2));
  return [Math.sqrt((sum + root) / 2), Math.sqrt((sum - root) / 2)];
}

function middleOf(points: readonly Point[]): Point {
  const mean = (axis: 0 | 1): number => points.reduce((sum, point) => sum + point[axis], 0) / points.length;
  return [mean(0), mean(1)];
}

function percent(share: number): string {
  return `${(100 * share).toFixed(0)} %`;
}
