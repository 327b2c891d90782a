/** The piece of a region that a small picture shows. */
import { describe, expect, test } from 'vitest';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import { thumbnailPlace } from '../../electron/view/thumbnailPlace.ts';

const PAPER = [92, 0, 4] as const;
const INK = [30, 10, -30] as const;

/** A region in cells, ink where `inked` says. */
function raster(columns: number, rows: number, inked: (x: number, y: number) => readonly number[] | null) {
  const data = Int16Array.from({ length: 3 * columns * rows }, (_, i) => {
    const cell = Math.floor(i / 3);
    const lab = inked(cell % columns, Math.floor(cell / columns)) ?? PAPER;
    return Math.round(lab[i % 3] * LAB_RASTER_SCALE);
  });
  return { data, columns, rows };
}

const scan = [2000, 1500] as const;

describe('a thumbnail shows', () => {
  test('the piece with the most ink, at the wanted size', () => {
    const lines = raster(40, 20, (x, y) => (x >= 26 && x < 34 && y >= 13 && y < 15 ? INK : null));
    const [x, y, width, height] = thumbnailPlace([100, 200, 400, 200], scan, [80, 40], lines);
    expect([width, height]).toEqual([80, 40]);
    // Cells are 10 px: the ink lies at 360..440 and 330..350.
    expect([x, y]).toEqual([360, 320]);
  });

  test('light ink on black paper, and yellow ink that is as light as its paper', () => {
    const pale = raster(40, 20, (x, y) => (x < 8 && y < 2 ? [80, 0, 0] : [15, 0, 0]));
    expect(thumbnailPlace([0, 0, 400, 200], scan, [80, 40], pale).slice(0, 2)).toEqual([0, 0]);
    const yellow = raster(40, 20, (x, y) => (x >= 32 && y >= 18 ? [92, 0, 70] : null));
    expect(thumbnailPlace([0, 0, 400, 200], scan, [80, 40], yellow).slice(0, 2)).toEqual([320, 160]);
  });

  test('writing rather than one dark blot', () => {
    const blot = raster(40, 20, (x, y) =>
      x === 2 && y === 2 ? [5, 0, 0] : x >= 20 && x < 28 && y >= 9 && y < 11 && (x + y) % 2 === 0 ? [62, 4, -20] : null,
    );
    expect(thumbnailPlace([0, 0, 400, 200], scan, [80, 40], blot).slice(0, 2)).toEqual([200, 80]);
  });

  test('the middle of a region that holds nothing, and about one that is smaller than the picture', () => {
    const bare = raster(40, 20, () => null);
    expect(thumbnailPlace([100, 200, 400, 200], scan, [80, 40], bare)).toEqual([260, 280, 80, 40]);
    const small = raster(4, 2, () => INK);
    expect(thumbnailPlace([100, 200, 40, 20], scan, [80, 40], small)).toEqual([80, 190, 80, 40]);
  });

  test('lines whole rather than two of them cut', () => {
    // Lines of three rows with four between: five rows hold one, or the rims of two.
    const lines = raster(40, 21, (_, y) => (y % 7 < 3 ? INK : null));
    const [, y] = thumbnailPlace([0, 0, 400, 210], scan, [400, 50], lines);
    expect(y % 70).toBe(60);
  });

  test('never a place off the scan', () => {
    const small = raster(4, 2, () => INK);
    expect(thumbnailPlace([0, 1490, 40, 10], scan, [80, 40], small)).toEqual([0, 1460, 80, 40]);
    const [x, y, width, height] = thumbnailPlace([1960, 0, 40, 20], scan, [4000, 40], small);
    expect([x, y, width, height]).toEqual([0, 0, 2000, 40]);
  });
});
