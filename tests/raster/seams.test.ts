/** Whole rasters are worked on in small parts: nothing is passed over, counted twice or read otherwise where one part ends and the next begins. */
import { expect, test } from 'vitest';
import { smoothAlong, TURN_X, TURN_Y } from '../../analysis/raster/alongStroke.ts';
import { components } from '../../analysis/raster/components.ts';
import { gaussianKernel } from '../../analysis/raster/gaussian.ts';
import { growFrom } from '../../analysis/raster/hysteresis.ts';
import { fitSurface, gainsAlong, surfaceAt, surfaceNumbers } from '../../analysis/raster/lowOrderSurface.ts';
import type { Mask } from '../../analysis/raster/raster.ts';
import { dropSmallComponents } from '../../analysis/raster/smallComponents.ts';
import { sortedBy } from '../../analysis/raster/sortedBy.ts';
import { thin } from '../../analysis/raster/thin.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

// Odd sizes that no part's length goes into, and several parts of each.
const W = 217;
const H = 131;

function speckled(share: number, seed: number): Mask {
  const random = seededRandom(seed);
  return { widthPx: W, heightPx: H, data: Uint8Array.from({ length: W * H }, () => (random() < share ? 1 : 0)) };
}

/** The plain way: number of each pixel's 8-connected piece, 0 outside, and their areas. */
function pieces({ data }: Pick<Mask, 'data'>): { readonly piece: Int32Array; readonly areas: number[] } {
  const piece = new Int32Array(data.length);
  const areas = [0];
  data.forEach((inside, start) => {
    if (!inside || piece[start]) return;
    const stack = [start];
    piece[start] = areas.length;
    let area = 0;
    for (let i = stack.pop(); i !== undefined; i = stack.pop()) {
      area++;
      for (const q of around(i)) {
        if (!data[q] || piece[q]) continue;
        piece[q] = areas.length;
        stack.push(q);
      }
    }
    areas.push(area);
  });
  return { piece, areas };
}

function around(i: number): number[] {
  const [x, y] = [i % W, Math.floor(i / W)];
  const found: number[] = [];
  for (let v = Math.max(0, y - 1); v <= Math.min(H - 1, y + 1); v++) {
    for (let u = Math.max(0, x - 1); u <= Math.min(W - 1, x + 1); u++) if (v !== y || u !== x) found.push(v * W + u);
  }
  return found;
}

test('pieces, and those too small, are the same as found pixel by pixel', () => {
  const mask = speckled(0.3, 1);
  const { piece, areas } = pieces(mask);
  const found = components(mask);
  expect(found.length).toBeGreaterThan(500);
  expect(found.map((c) => c.area).toSorted((a, b) => a - b)).toEqual(areas.slice(1).toSorted((a, b) => a - b));
  for (const { area, runs } of found) expect(areas[piece[runs[0] * W + runs[1]]]).toBe(area);
  const kept = mask.data.map((v, i) => (areas[piece[i]] >= 9 ? v : 0));
  dropSmallComponents(mask, 9);
  expect(mask.data).toEqual(kept);
});

test('growing reaches the pieces that hold a seed', () => {
  const random = seededRandom(2);
  const values = Float32Array.from({ length: W * H }, random);
  const { piece } = pieces({ data: Uint8Array.from(values, (v) => (v > 0.7 ? 1 : 0)) });
  const seeded = new Set([...piece].filter((p, i) => p > 0 && values[i] > 0.98));
  expect(growFrom(values, W, H, 0.98, 0.7)).toEqual(Uint8Array.from(piece, (p) => (seeded.has(p) ? 1 : 0)));
});

test('thinning equals Guo and Hall’s own rules, pixel by pixel', () => {
  const mask: Mask = {
    widthPx: W,
    heightPx: H,
    data: Uint8Array.from({ length: W * H }, (_, i) => (Math.sin((i % W) / 9) + Math.sin(i / W / 7) > -0.3 ? 1 : 0)),
  };
  const plain = mask.data.map((v, i) => (i % W === 0 || i % W === W - 1 || i < W || i >= W * (H - 1) ? 0 : v));
  for (let when = 0, idle = 0; idle < 2; when++) {
    const gone: number[] = [];
    plain.forEach((inside, i) => {
      if (!inside) return;
      const [p2, p3, p4, p5, p6, p7, p8, p9] = [-W, 1 - W, 1, W + 1, W, W - 1, -1, -W - 1].map((d) => plain[i + d]);
      const arms =
        (p2 < (p3 | p4) ? 1 : 0) + (p4 < (p5 | p6) ? 1 : 0) + (p6 < (p7 | p8) ? 1 : 0) + (p8 < (p9 | p2) ? 1 : 0);
      const n = Math.min((p9 | p2) + (p3 | p4) + (p5 | p6) + (p7 | p8), (p2 | p3) + (p4 | p5) + (p6 | p7) + (p8 | p9));
      const closed = when % 2 === 0 ? (p6 | p7 | (1 - p9)) & p8 : (p2 | p3 | (1 - p5)) & p4;
      if (arms === 1 && n >= 2 && n <= 3 && closed === 0) gone.push(i);
    });
    for (const i of gone) plain[i] = 0;
    idle = gone.length > 0 ? 0 : idle + 1;
  }
  expect(plain.filter((v) => v === 1).length).toBeGreaterThan(300);
  expect(thin(mask).data).toEqual(plain);
});

test('smoothing along strokes reads nothing beyond the raster, wherever a stroke leaves it', () => {
  const mask = speckled(0.8, 3);
  const random = seededRandom(4);
  const data = Float32Array.from({ length: 3 * W * H }, random);
  const direction = Uint8Array.from({ length: W * H }, () => Math.floor(256 * random()));
  const indices = Int32Array.from([...mask.data.keys()].filter((i) => mask.data[i] === 1));
  const kernel = gaussianKernel(2);
  const smooth = smoothAlong(data, mask, indices, direction, 2);
  const expected = new Float32Array(smooth.length);
  indices.forEach((i, k) => {
    const sums = [0, 0, 0, 0];
    for (let s = -(kernel.length - 1); s < kernel.length; s++) {
      const u = (i % W) + Math.sign(s) * Math.round(Math.abs(s) * TURN_X[direction[i]]);
      const v = Math.floor(i / W) + Math.sign(s) * Math.round(Math.abs(s) * TURN_Y[direction[i]]);
      if (u < 0 || v < 0 || u >= W || v >= H || !mask.data[v * W + u]) continue;
      for (let c = 0; c < 3; c++) sums[c] += kernel[Math.abs(s)] * data[3 * (v * W + u) + c];
      sums[3] += kernel[Math.abs(s)];
    }
    for (let c = 0; c < 3; c++) expected[3 * k + c] = sums[c] / sums[3];
  });
  expect(Math.max(...smooth.map((v, k) => Math.abs(v - expected[k])))).toBeLessThan(1e-6);
});

test('gains along a row are one over the surface, held where it runs away', () => {
  const places = Array.from({ length: 400 }, (_, i) => [i % 20, Math.floor(i / 20)] as const);
  const surface = fitSurface(
    places,
    places.map(([x, y]) => [0.9 + 0.002 * x * y, 1 - 0.01 * y, 0.8 + 0.001 * x * x]),
    2,
  );
  const gains = new Float64Array(3 * 50);
  const departure = gainsAlong(surfaceNumbers(surface), -10, 7, 1, 50, gains);
  const at = new Float64Array(3);
  let most = 0;
  for (let n = 0; n < 50; n++) {
    surfaceAt(surface, n - 10, 7, at);
    most = Math.max(most, ...at.map((v) => Math.abs(v - 1)));
    for (let c = 0; c < 3; c++) expect(gains[3 * n + c] * at[c]).toBeCloseTo(1, 12);
  }
  expect(departure).toBeCloseTo(most, 12);
});

test('values sort by their size, below and above 0, equal ones in their order', () => {
  const random = seededRandom(6);
  const values = Float32Array.from({ length: 5003 }, () => (Math.floor(200 * random()) - 100) / 8);
  const expected = [...values.keys()].toSorted((a, b) => values[a] - values[b] || a - b);
  expect([...sortedBy(values)]).toEqual(expected);
});
