import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { components } from '../../analysis/raster/components.ts';

function maskOf(rows: readonly string[]): { data: Uint8Array; widthPx: number; heightPx: number } {
  return {
    data: Uint8Array.from(rows.join('').split(''), (c) => (c === '#' ? 1 : 0)),
    widthPx: rows[0].length,
    heightPx: rows.length,
  };
}

describe('components', () => {
  it('joins across corners, round holes, and arms that meet below', () => {
    const found = components(maskOf(['#.#..#', '###...', '.....#', '#.....']));
    expect(found.map((c) => c.area)).toEqual([5, 1, 1, 1]);
    const [first] = found;
    expect([first.x0, first.y0, first.x1, first.y1]).toEqual([0, 0, 2, 1]);
    expect(first.centroid[0]).toBeCloseTo(1.5, 12);
    expect(first.centroid[1]).toBeCloseTo((2 * 0.5 + 3 * 1.5) / 5, 12);
    expect([...first.runs]).toEqual([0, 0, 0, 0, 2, 2, 1, 0, 2]);
  });

  it('agrees with a flood fill on random masks', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 2 }), { minLength: 63, maxLength: 63 }), (cells) => {
        const data = Uint8Array.from(cells, (c) => (c === 0 ? 1 : 0));
        const areas = components({ data, widthPx: 9, heightPx: 7 })
          .map((c) => c.area)
          .sort((a, b) => a - b);
        expect(areas).toEqual(floodAreas(data, 9, 7));
      }),
    );
  });
});

function floodAreas(data: Uint8Array, width: number, height: number): number[] {
  const left = Uint8Array.from(data);
  const areas: number[] = [];
  for (let start = 0; start < left.length; start++) {
    if (left[start] === 0) continue;
    const stack = [start];
    left[start] = 0;
    let area = 0;
    for (let at = stack.pop(); at !== undefined; at = stack.pop()) {
      area++;
      for (
        let y = Math.max(0, Math.floor(at / width) - 1);
        y <= Math.min(height - 1, Math.floor(at / width) + 1);
        y++
      ) {
        for (let x = Math.max(0, (at % width) - 1); x <= Math.min(width - 1, (at % width) + 1); x++) {
          if (left[y * width + x] === 0) continue;
          left[y * width + x] = 0;
          stack.push(y * width + x);
        }
      }
    }
    areas.push(area);
  }
  return areas.sort((a, b) => a - b);
}
