import { describe, expect, test } from 'vitest';
import { bedBeside } from '../../analysis/locate/bedBeside.ts';
import { regionInk } from '../../analysis/locate/regionInk.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { draw, type Drawing, flatPaper } from '../measure/drawInk.ts';

const PAPER = [0.82, 0.8, 0.76] as const;
const PAGE: Drawing = {
  widthMm: 30,
  heightMm: 14,
  dpi: 150,
  paper: PAPER,
  absorption: [2, 1.6, 0.6],
  lines: [{ fromMm: [3, 7], toMm: [29, 7], widthMm: 0.9, dose: () => 1 }],
  noise: 0.003,
};
const paper = flatPaper(PAPER);
const MM = 150 / 25.4;

/** Bed of such a grey beyond a line that begins so far from the left, mm, and leans. */
function withBed(page: LinearRaster, fromMm: number, slope: number, level: number): LinearRaster {
  const random = seededRandom(3);
  const data = page.data.slice();
  for (let i = 0; i < page.widthPx * page.heightPx; i++) {
    const [x, y] = [i % page.widthPx, Math.floor(i / page.widthPx)];
    const covered = Math.min(1, Math.max(0, x + 0.5 - fromMm * MM - slope * y));
    for (let c = 0; c < 3; c++) data[3 * i + c] += covered * (level + 0.002 * normal(random) - data[3 * i + c]);
  }
  return { ...page, data };
}

/** Turned by a quarter as often as is said. */
function turned(page: LinearRaster, times: number): LinearRaster {
  if (times === 0) return page;
  const { widthPx: w, heightPx: h } = page;
  const data = new Float32Array(page.data.length);
  for (let i = 0; i < w * h; i++) {
    const to = (i % w) * h + (h - 1 - Math.floor(i / w));
    for (let c = 0; c < 3; c++) data[3 * to + c] = page.data[3 * i + c];
  }
  return turned({ ...page, data, widthPx: h, heightPx: w }, times - 1);
}

const inked = (page: LinearRaster) => {
  const found = regionInk(page, paper);
  return { px: found?.ink.mask.data.reduce((sum, v) => sum + v, 0) ?? 0, found };
};

describe('a box over the paper’s edge', () => {
  test.each([
    ['black', 0.01, 0, 0],
    ['black, leaning', 0.01, 0.05, 0],
    ['grey, at the bottom', 0.25, 0, 1],
    ['black, at the left', 0.01, -0.04, 2],
  ])('a bed that is %s is neither ink nor bare paper', (_, level, slope, times) => {
    const page = draw(PAGE);
    const onPaper = inked(turned(page, times)).px;
    const { px, found } = inked(turned(withBed(page, 24, slope, level), times));
    // The line runs on for 5 mm over the bed's place.
    expect(px / onPaper).toBeGreaterThan(0.74);
    expect(px / onPaper).toBeLessThan(0.83);
    expect(found!.ink.otherMarksPx).toBeGreaterThan(5.5 * 13 * MM * MM);
    const bed = bedBeside(turned(withBed(page, 24, slope, level), times), paper)!;
    expect(found!.bare.some((bare, i) => bare === 1 && bed[i] === 1)).toBe(false);
  });

  test.each([
    ['bare paper and a line that runs out of it', PAGE],
    ['a swab that it cuts off on one side', { ...PAGE, lines: [{ ...PAGE.lines[0], widthMm: 9, dose: () => 4 }] }],
    [
      'a black swab with a round end that it cuts off on three',
      {
        ...PAGE,
        heightMm: 8,
        absorption: [2, 2, 2] as const,
        lines: [{ ...PAGE.lines[0], fromMm: [12, 4], toMm: [40, 4], widthMm: 9, dose: () => 2 } as const],
      },
    ],
  ])('in a box of %s there is none', (_, page) => {
    expect(bedBeside(draw(page), paper)).toBeNull();
  });

  test('a grey that changes towards the edge is no bed', () => {
    const page = withBed(draw(PAGE), 24, 0, 0.1);
    const data = page.data.map((v, i) => {
      const x = Math.floor(i / 3) % page.widthPx;
      return x > 24 * MM ? v + 0.02 * (x / MM - 24) : v;
    });
    expect(bedBeside(page, paper)).not.toBeNull();
    expect(bedBeside({ ...page, data }, paper)).toBeNull();
  });
});
