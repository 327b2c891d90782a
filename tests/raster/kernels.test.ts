import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { smoothAlong, strokeDirection } from '../../analysis/raster/alongStroke.ts';
import { distanceToInside, distanceToOutside } from '../../analysis/raster/distance.ts';
import { gaussianKernel, gaussianSmooth, gaussianSmoothInside } from '../../analysis/raster/gaussian.ts';
import { growFrom } from '../../analysis/raster/hysteresis.ts';
import { maskPixels } from '../../analysis/raster/maskPixels.ts';
import { selectKth } from '../../analysis/raster/select.ts';
import { fitSurface, surfaceAt } from '../../analysis/raster/lowOrderSurface.ts';
import { maximumFilter } from '../../analysis/raster/maximumFilter.ts';
import { otsuThreshold } from '../../analysis/raster/otsu.ts';
import type { Mask } from '../../analysis/raster/raster.ts';
import { dropSmallComponents } from '../../analysis/raster/smallComponents.ts';
import { thin } from '../../analysis/raster/thin.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

const anyMask = fc
  .tuple(fc.integer({ min: 3, max: 14 }), fc.integer({ min: 3, max: 14 }), fc.integer())
  .map(([widthPx, heightPx, seed]): Mask => {
    const random = seededRandom(seed);
    return { widthPx, heightPx, data: Uint8Array.from({ length: widthPx * heightPx }, () => (random() < 0.6 ? 1 : 0)) };
  });

function drawn(rows: readonly string[]): Mask {
  return {
    widthPx: rows[0].length,
    heightPx: rows.length,
    data: Uint8Array.from(rows.join(''), (c) => (c === '#' ? 1 : 0)),
  };
}

describe('distance', () => {
  test('equals the distance found by trying every pixel', () => {
    fc.assert(
      fc.property(anyMask, (mask) => {
        const outside = distanceToOutside(mask);
        const inside = distanceToInside(mask);
        const nearest = (x: number, y: number, value: number) => {
          let best = Infinity;
          mask.data.forEach((d, i) => {
            if (d === value)
              best = Math.min(best, Math.hypot((i % mask.widthPx) - x, Math.floor(i / mask.widthPx) - y));
          });
          return best;
        };
        mask.data.forEach((d, i) => {
          const [x, y] = [i % mask.widthPx, Math.floor(i / mask.widthPx)];
          const [toOutside, toInside] = [nearest(x, y, 0), nearest(x, y, 1)];
          // A mask of one kind only has no nearest other: far away is all that can be said.
          expect(Math.min(outside[i], 1e5)).toBeCloseTo(Math.min(toOutside, 1e5), 4);
          expect(Math.min(inside[i], 1e5)).toBeCloseTo(Math.min(toInside, 1e5), 4);
          expect(d ? inside[i] : outside[i]).toBe(0);
        });
      }),
      { numRuns: 60, seed: 11 },
    );
  });
});

describe('thin', () => {
  test('a thick bar becomes one line of pixels as long as the bar less its rounded ends', () => {
    const bar = drawn([' '.repeat(24), ...Array.from({ length: 5 }, () => `  ${'#'.repeat(20)}  `), ' '.repeat(24)]);
    const skeleton = thin(bar);
    const perColumn = Array.from({ length: 24 }, (_, x) =>
      Array.from({ length: 7 }, (_, y) => skeleton.data[y * 24 + x]).reduce((a, b) => a + b, 0),
    );
    expect(perColumn.slice(6, 18).every((n) => n === 1)).toBe(true);
  });

  test('keeps what hangs together together, and holes open', () => {
    const ring = drawn([
      '             ',
      '  #########  ',
      '  #########  ',
      '  ###   ###  ',
      '  ###   ###  ',
      '  #########  ',
      '  #########  ',
      '             ',
    ]);
    const skeleton = thin(ring);
    const n = skeleton.data.reduce((a, b) => a + b, 0);
    expect(n).toBeGreaterThan(8);
    expect(n).toBeLessThan(26);
    // Nothing but one component: dropping all below its own size drops none, one pixel more drops all.
    const copy = { ...skeleton, data: Uint8Array.from(skeleton.data) };
    dropSmallComponents(copy, n);
    expect(copy.data).toEqual(skeleton.data);
    dropSmallComponents(copy, n + 1);
    expect(copy.data.includes(1)).toBe(false);
  });
});

describe('smoothing', () => {
  test('a kernel sums to one and has the variance it was asked for', () => {
    for (const sigma of [0.8, 1.5, 4]) {
      const kernel = gaussianKernel(sigma);
      let sum = 0;
      let variance = 0;
      kernel.forEach((k, i) => {
        sum += i === 0 ? k : 2 * k;
        variance += 2 * k * i * i;
      });
      expect(sum).toBeCloseTo(1, 12);
      expect(Math.sqrt(variance) / sigma).toBeGreaterThan(0.97);
      expect(Math.sqrt(variance) / sigma).toBeLessThan(1.06);
    }
  });

  test('leaves a constant alone up to the raster’s rim, masked or not', () => {
    const flat = new Float32Array(15 * 9).fill(0.37);
    for (const v of gaussianSmooth(flat, 15, 9, 2)) expect(v).toBeCloseTo(0.37, 5);
    const inside = Uint8Array.from(flat, (_, i) => (i % 3 === 0 ? 1 : 0));
    gaussianSmoothInside(flat, 1, inside, 15, 9, 2).forEach((v, i) => expect(v).toBeCloseTo(inside[i] ? 0.37 : 0, 5));
  });

  test('along a slanting stroke only: noise falls as the kernel says, a step across the stroke stays', () => {
    const [w, h] = [120, 120];
    const inside = new Uint8Array(w * h);
    const data = new Float32Array(3 * w * h);
    const random = seededRandom(5);
    for (let y = 0; y < h; y++) {
      for (let x = 0; x < w; x++) {
        const across = (x - y) / Math.SQRT2;
        const i = y * w + x;
        inside[i] = Math.abs(across) < 9 ? 1 : 0;
        for (let c = 0; c < 3; c++) data[3 * i + c] = (across > 0 ? 0.8 : 0.4) + 0.1 * (random() - 0.5);
      }
    }
    const mask: Mask = { data: inside, widthPx: w, heightPx: h };
    const indices: number[] = [];
    for (let i = 0; i < inside.length; i++) {
      const [x, y] = [i % w, Math.floor(i / w)];
      const across = Math.abs(x - y) / Math.SQRT2;
      if (inside[i] && x > 20 && x < 100 && across > 2 && across < 7) indices.push(i);
    }
    const direction = strokeDirection(distanceToOutside(mask), maskPixels(mask), w, h, 5);
    const smooth = smoothAlong(data, mask, Int32Array.from(indices), direction, 5);
    let squares = 0;
    indices.forEach((i, k) => {
      const level = i % w > Math.floor(i / w) ? 0.8 : 0.4;
      squares += (smooth[3 * k] - level) ** 2;
    });
    const left = Math.sqrt(squares / indices.length);
    const before = 0.1 / Math.sqrt(12);
    // A Gaussian of sigma 5 averages 2·√π·5 = 17.7 samples; on a diagonal neighbours lie √2 apart, which leaves 12.5.
    expect(left).toBeLessThan((before / Math.sqrt(12.5)) * 1.1);
    expect(left).toBeGreaterThan((before / Math.sqrt(17.7)) * 0.9);
  });
});

test('distances beyond the given most are beyond it, all others exact', () => {
  fc.assert(
    fc.property(anyMask, fc.integer({ min: 1, max: 4 }), (mask, most) => {
      const exact = distanceToInside(mask);
      const found = distanceToInside(mask, undefined, most).map((d) => (d > most ? Infinity : d));
      expect([...found]).toEqual(Array.from(exact, (d) => (d > most ? Infinity : d)));
    }),
    { seed: 5, numRuns: 60 },
  );
});

test('growing from seeds reaches what hangs together with one, and nothing else', () => {
  fc.assert(
    fc.property(anyMask, fc.integer(), ({ widthPx: w, heightPx: h }, seed) => {
      const random = seededRandom(seed);
      const values = Float32Array.from({ length: w * h }, random);
      const plain = new Uint8Array(w * h);
      const visit = (x: number, y: number): void => {
        if (x < 0 || y < 0 || x >= w || y >= h || plain[y * w + x] || values[y * w + x] <= 0.55) return;
        plain[y * w + x] = 1;
        for (let v = -1; v <= 1; v++) for (let u = -1; u <= 1; u++) visit(x + u, y + v);
      };
      values.forEach((value, i) => value > 0.9 && visit(i % w, Math.floor(i / w)));
      expect([...growFrom(values, w, h, 0.9, 0.55)]).toEqual([...plain]);
    }),
    { seed: 6, numRuns: 60 },
  );
});

test('the maximum filter equals the maximum of every window', () => {
  const random = seededRandom(3);
  const [w, h] = [17, 13];
  const data = Float32Array.from({ length: w * h }, random);
  for (const r of [1, 2, 5]) {
    const out = maximumFilter(data, w, h, r);
    for (let y = 0; y < h; y++) {
      for (let x = 0; x < w; x++) {
        let best = -Infinity;
        for (let v = Math.max(0, y - r); v <= Math.min(h - 1, y + r); v++) {
          for (let u = Math.max(0, x - r); u <= Math.min(w - 1, x + r); u++) best = Math.max(best, data[v * w + u]);
        }
        expect(out[y * w + x]).toBe(best);
      }
    }
  }
});

describe('Otsu', () => {
  // Two uniform classes: the threshold of least within-class variance lies in the gap between them.
  test.each([0.05, 0.3, 0.5])('parts two classes with a share of %f in the upper', (share) => {
    const random = seededRandom(8);
    const values = Float32Array.from({ length: 4000 }, (_, i) => (i < 4000 * share ? 0.7 : 0.1) + 0.1 * random());
    const t = otsuThreshold(values);
    expect(t).toBeGreaterThan(0.2);
    expect(t).toBeLessThan(0.7);
  });

  test('equal values give that value', () => {
    expect(otsuThreshold(new Float32Array(9).fill(0.25))).toBe(0.25);
  });
});

describe('surface', () => {
  const quadratic = (x: number, y: number) => 0.8 + 0.002 * x - 0.001 * y + 1e-5 * x * x - 2e-5 * x * y + 3e-5 * y * y;
  const places = Array.from({ length: 200 }, (_, i) => [(i % 20) * 7, Math.floor(i / 20) * 9] as const);

  test('finds an exact quadratic again, though a tenth of the points are stained', () => {
    const values = places.map(([x, y], i) => {
      const v = quadratic(x, y) * (i % 10 === 3 ? 0.6 : 1);
      return [v, v / 2, v / 3] as const;
    });
    const surface = fitSurface(places, values, 2);
    const out = [0, 0, 0];
    for (const [x, y] of places) {
      surfaceAt(surface, x, y, out);
      expect(out[0]).toBeCloseTo(quadratic(x, y), 4);
      expect(out[2]).toBeCloseTo(quadratic(x, y) / 3, 4);
    }
  });

  test('is held far outside its data, where a polynomial would run away', () => {
    const surface = fitSurface(
      places,
      places.map(([x, y]) => [quadratic(x, y), 1, 1] as const),
      2,
    );
    const [near, far] = [
      [0, 0, 0],
      [0, 0, 0],
    ];
    surfaceAt(surface, 300, 60, near);
    surfaceAt(surface, 3000, 60, far);
    expect(far).toEqual(near);
  });

  test('points in one row leave the other slope at zero', () => {
    const row = places.filter((p) => p[1] === 0);
    const out = [0, 0, 0];
    surfaceAt(
      fitSurface(
        row,
        row.map(([x]) => [1 + x / 100, 1, 1] as const),
        1,
      ),
      70,
      50,
      out,
    );
    expect(out[0]).toBeCloseTo(1.7, 3);
  });
});

test('the pixels of a mask are those inside, in order, wherever its bytes begin', () => {
  fc.assert(
    fc.property(anyMask, fc.integer({ min: 0, max: 3 }), ({ data }, shift) => {
      const shifted = new Uint8Array(data.length + shift).subarray(shift);
      shifted.set(data);
      expect([...maskPixels({ data: shifted })]).toEqual([...data.keys()].filter((i) => data[i] !== 0));
    }),
    { seed: 7, numRuns: 60 },
  );
});

test('the value at a place of the sorted ones is found without sorting them', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 1, maxLength: 40 }),
      fc.nat(39),
      (values, at) => {
        const k = at % values.length;
        const sorted = values.toSorted((a, b) => a - b)[k];
        expect(selectKth(Float32Array.from(values), values.length, k)).toBe(sorted);
        expect(selectKth(Float64Array.from(values), values.length, k)).toBe(sorted);
      },
    ),
    { seed: 8, numRuns: 100 },
  );
});
