/** Edges on the saved pictures: drawn where they lie, no more than the piece shows, and told in the legend when they are there. */
import { describe, expect, test } from 'vitest';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { edgeShapes } from '../../electron/overlays/edgeShapes.ts';
import { edgeLegend } from '../../electron/overlays/legend.ts';
import { signPlaces, signShapes } from '../../electron/overlays/markShapes.ts';

const edge = {
  edges: [{ points: [10, 20, 30, 20.25, 50, 20, 70, 20, 90, 20] }],
  whiskers: [
    { from: [20, 20] as const, to: [20, 30] as const, widthMm: 0.8 },
    { from: [80, 20] as const, to: [80, 30] as const, widthMm: 0.8 },
  ],
  hairs: [{ from: [30, 20] as const, to: [30, 14] as const, lengthMm: 0.5 }],
  halo: null,
  profile: null,
};
const paths = (shapes: string): string[] => [...shapes.matchAll(/ d="([^"]+)"/g)].map(([, d]) => d);

describe('edges on a piece of a region', () => {
  const shapes = edgeShapes(edge, { left: 10, top: 10, widthPx: 45, heightPx: 30 }, 2, '#123456');

  test('lie at their fractions of a pixel, and end where the piece ends', () => {
    expect(paths(shapes)).toContain('M0 20L40 20.5L80 20');
    expect(shapes).not.toContain('120');
  });

  test('with the widths and hairs that are whole within it', () => {
    expect(paths(shapes)).toContain('M20 20L20 40M22.5 20L17.5 20M22.5 40L17.5 40');
    expect(paths(shapes)).toContain('M40 20L40 8');
    expect(paths(shapes).filter((d) => d.includes('M140'))).toEqual([]);
  });

  test('each line in the colour that was computed, cased in light and dark', () => {
    for (const look of ['#123456', '#fff', '#000']) expect(shapes.split(`stroke="${look}"`)).toHaveLength(4);
  });
});

test('the legend tells what there is, and no more', () => {
  const words = (has: Partial<Record<'edges' | 'hairs' | 'halo' | 'sheen', boolean>>): string[] =>
    edgeLegend('#123456', '#222266', '#f0f0f0', { edges: false, hairs: false, halo: false, sheen: false, ...has }).map(
      (entry) => entry.words,
    );
  expect(words({})).toEqual([]);
  expect(words({ edges: true, sheen: true })).toEqual(['edges and widths between them', 'sheen']);
  expect(words({ hairs: true, halo: true })).toEqual(['hairs beyond the edge', 'halo']);
});

test('sheen has white triangles, unlike any other sign; a halo has none, since it is no ink', () => {
  const at = (mark: number) =>
    signShapes(
      signPlaces(() => mark, 20, 20, 12, 2),
      '#123456',
    );
  expect(at(INK_MARKS.sheen)).toMatch(/fill="#fff" stroke="#123456"/);
  for (const other of [INK_MARKS.light, INK_MARKS.dark, INK_MARKS.counted])
    expect(at(other)).not.toContain('fill="#fff"');
  expect(at(INK_MARKS.halo)).toBe('');
});
