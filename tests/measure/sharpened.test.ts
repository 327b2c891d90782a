/** A scanner's sharpening makes paper beside ink paler than bare paper: it is told, and nothing else is taken for it. */
import { describe, expect, test } from 'vitest';
import { overshootOf } from '../../analysis/measure/edge/overshoot.ts';
import { measureStrokes } from '../../analysis/measure/ink.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import type { StrokeDrawing } from '../../study/edges/drawStrokes.ts';
import { pathOf, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { edgeWorld, inputOf } from '../../study/edges/worlds.ts';
import { strokesPage } from './strokesPage.ts';

/** As a driver does it: device values of gamma 2.2 plus a share of what they differ from their blurred selves by. */
function sharpened(raster: LinearRaster, amount: number, maskPx: number): LinearRaster {
  const { widthPx, heightPx } = raster;
  const device = raster.data.map((v) => Math.max(0, v) ** (1 / 2.2));
  const data = new Float32Array(device.length);
  for (let c = 0; c < 3; c++) {
    const plane = Float32Array.from({ length: widthPx * heightPx }, (_, i) => device[3 * i + c]);
    const mask = gaussianSmooth(plane, widthPx, heightPx, maskPx);
    plane.forEach((v, i) => {
      data[3 * i + c] = Math.max(0, v + amount * (v - mask[i])) ** 2.2;
    });
  }
  return { ...raster, data };
}

/** Two straight lines that lean a little. */
function lines(widthMm: number, more: Partial<StrokeDrawing> = {}): StrokeDrawing {
  const random = seededRandom(5);
  const strokes = [2.6, 6.4].map((y) =>
    strokeAlong(
      pathOf((t) => [2 + 24 * t, y + 0.7 * t]),
      () => widthMm / 2,
      () => 1.2,
      { shape: smoothEdge() },
      random,
    ),
  );
  return strokesPage(strokes, more);
}

function flagsOf(drawing: StrokeDrawing, mask?: readonly [amount: number, px: number]): Map<string, readonly Flag[]> {
  const input = inputOf(drawing);
  const signal = mask ? sharpened(input.signal, ...mask) : input.signal;
  return new Map(measureStrokes({ ...input, signal }).quantities.map((q) => [q.quantity, q.flags]));
}

describe('sharpened', () => {
  test.each([
    [0.4, 0.8, 1],
    [0.4, 0.5, 1.5],
    [1, 0.8, 1.5],
  ])('lines of %f mm, by %f of a mask of %f px: all that is told of them says so', (widthMm, amount, px) => {
    const flags = flagsOf(lines(widthMm), [amount, px]);
    for (const name of ['inkColour', 'shading', 'lineWidth', 'edgeBlur', 'halo', 'sheen']) {
      expect(flags.get(name), name).toContain('sharpened');
    }
  });

  test.each([
    ['thin lines', lines(0.4)],
    ['broad lines', lines(1)],
    ['a pale ink in much noise', lines(0.6, { absorption: [0.25, 0.12, 0.03], noise: 0.01, fibres: 0.01 })],
    ['a dark ring beside the ink', lines(0.6, { halo: { widthMm: 0.3, transmittance: [0.9, 0.92, 0.95] } })],
  ])('%s as scanned are not called so', (_, drawing) => {
    expect([...flagsOf(drawing).values()].flat()).not.toContain('sharpened');
  });

  test.each([
    [300, ['smooth', 'rough', 'hairs', 'halo', 'soft']],
    [600, ['hairs']],
  ] as const)('nor are hands, hairs and rings at %i dpi', (dpi, kinds) => {
    for (const kind of kinds) {
      expect([...flagsOf(edgeWorld(60301, dpi, kind).drawing).values()].flat(), kind).not.toContain('sharpened');
    }
  });
});

test('of a page that was resampled, edges alone say so', () => {
  const { quantities } = measureStrokes({ ...inputOf(lines(0.6)), resampled: true });
  const told = new Set(quantities.flatMap((q) => (q.flags.includes('resampled') ? [q.quantity.split('.')[0]] : [])));
  expect([...told].toSorted()).toEqual(['edgeBlur', 'feathering', 'halo', 'lineWidth', 'raggedness', 'spread']);
});

describe('the share', () => {
  /** Contrast 0 on paper and 1 in ink, but for what is set 1.5 px outside; the same in all groups but for what is added to each. */
  function profile(beside: number, added: readonly number[]): Parameters<typeof overshootOf>[0] {
    const atPx = Float64Array.from({ length: 41 }, (_, k) => (k - 30) * 0.5);
    const counts = new Float64Array(41).fill(10);
    const contrastOf = (more: number): Float64Array =>
      atPx.map((at) => 10 * (at > 0 ? 1 : Math.abs(at + 1.5) < 0.6 ? beside + more : 0));
    const group = (more: number) => ({
      sums: [0, 1, 2, 3].map(() => contrastOf(more)),
      counts,
    });
    const groups = added.map(group).map(({ sums, counts: own }) => ({ sums: four(sums), counts: own }));
    const sum = (pick: (g: (typeof groups)[number]) => Float64Array) =>
      groups.map(pick).reduce((a, b) => a.map((v, i) => v + b[i]));
    const all = { sums: four([0, 1, 2, 3].map((c) => sum((g) => g.sums[c]))), counts: sum((g) => g.counts) };
    return { atPx, stepPx: 0.5, groups, all };
  }
  const four = ([a, b, c, d]: readonly Float64Array[]) => [a, b, c, d] as const;

  test('is that of the ink’s contrast', () => {
    expect(overshootOf(profile(-0.05, [0, 0, 0, 0]), 1)).toBeCloseTo(0.05, 6);
    expect(overshootOf(profile(-0.05, [0, 0, 0, 0]), 0.5)).toBeCloseTo(0.1, 6);
  });

  test('is nothing where the paper is darker, or parts of the edges do not agree', () => {
    expect(overshootOf(profile(0.05, [0, 0, 0, 0]), 1)).toBe(0);
    expect(overshootOf(profile(-0.05, [-0.1, 0.1, 0.1, -0.1]), 1)).toBe(0);
  });
});
