/** Ghost and dots as pictures show them, on drawn pages with known truth (study/backPages.ts). */
import { describe, expect, test } from 'vitest';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { bleedDots } from '../../analysis/measure/showThrough/bleedDots.ts';
import { ghostClass, ghostClasses } from '../../analysis/measure/showThrough/ghostMap.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import { measuredBack } from '../../study/showThrough.ts';

const SMALL = { widthMm: 34, heightMm: 15, frontDpi: 300, backDpi: 300, lineMm: 0.9, place: { angleRad: 0.01 } };

function mapped(seed: number, ghost: number, dots: number) {
  const { page, measure } = measuredBack(seed, { ...SMALL, ghost, dots });
  const { back } = page;
  const marks = measure.marks!;
  const lightness = Float32Array.from({ length: marks.length }, (_, i) => {
    const y = back.data[3 * i + 1];
    return xyzToLab([0.9642 * y, y, 0.8249 * y])[0];
  });
  const grid = { marks, lightness, columns: back.widthPx, rows: back.heightPx, cellsPerMm: back.dpi / 25.4 };
  return { page, marks, back, classes: ghostClasses(grid) };
}

const pale = mapped(21, 0.02, 0);
const dotted = mapped(11, 0.12, 4);

describe('the ghost map', () => {
  test.each([
    ['a pale', pale],
    ['a strong', dotted],
  ])('of %s ghost has the class of its figure, and lies only where cores lie', (_, { page, marks, classes }) => {
    const counts = [0, 0, 0, 0, 0];
    classes.forEach((own) => counts[own]++);
    const expected = 1 + ghostClass(page.truth.ghosting);
    const near = counts.slice(Math.max(1, expected - 1), expected + 2).reduce((a, b) => a + b, 0);
    expect(near / (classes.length - counts[0])).toBeGreaterThan(0.9);
    expect(counts.indexOf(Math.max(...counts.slice(1)))).toBe(expected);
    const isCore = (i: number): boolean => marks[i] === REVERSE_MARKS.behindCore;
    expect(classes.every((own, i) => own === 0 || isCore(i))).toBe(true);
    // A core far from any bare paper has nothing to be held against.
    expect(counts[0] - marks.filter((_, i) => !isCore(i)).length).toBeLessThan(0.05 * (marks.length - counts[0]));
  });

  test('its steps are those of the words', () => {
    expect([-1, 0, 0.49, 0.5, 1.49, 1.5, 3.9, 4, 30].map(ghostClass)).toEqual([0, 0, 0, 1, 1, 2, 2, 3, 3]);
  });

  test('without bare paper beside a line nothing is told of it', () => {
    const marks = new Uint8Array(100).fill(REVERSE_MARKS.behindCore);
    const lightness = new Float32Array(100).fill(80);
    expect(Math.max(...ghostClasses({ marks, lightness, columns: 10, rows: 10, cellsPerMm: 4 }))).toBe(0);
  });
});

test('dots are marked where they were drawn', () => {
  const { page, marks, back } = dotted;
  const dots = bleedDots({ data: marks, widthPx: back.widthPx, heightPx: back.heightPx });
  expect(dots).toHaveLength(page.truth.dots);
  const radii = dots.reduce((sum, { r }) => sum + Math.PI * (r * (25.4 / back.dpi)) ** 2, 0);
  // Discs that hold a dot with its blurred rim: larger than what came through, not much.
  expect(radii).toBeGreaterThan(page.truth.dotsMm2);
  expect(radii).toBeLessThan(6 * page.truth.dotsMm2);
});
