/** The back of a page on the annotated pictures: what shows through is veiled, what came through has a ring, and both are told. */
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import type { OverlayRegion, RegionResult } from '../../electron/jobs/tasks.ts';
import { drawOverlay } from '../../electron/overlays/drawOverlay.ts';
import { figuresOf } from '../../electron/overlays/figures.ts';
import { bleedShapes } from '../../electron/overlays/markShapes.ts';
import { says } from '../../electron/overlays/regionCard.ts';
import { testFolder } from '../host/folder.ts';
import { pageTask, quantity, strokes, writeScan } from './smallPage.ts';

const folder = testFolder();
// A pale band behind the line: what shows through.
const scan = await writeScan(folder, 'back.png', [400, 300], { paper: [240, 238, 232], ink: [222, 220, 215] });

const GHOST = [
  quantity('ghosting', 6.2, 'ΔL*', 0.2, { verdict: 'strong' }),
  quantity('bleedThrough', 0.3, '%', 0.05, { verdict: 'faint' }),
  quantity('bleedThrough.dots', 2, 'dots', 0.2),
];

const SIZE = { widthPx: 200, heightPx: 100 };
/** Over the band (rows 40 to 59 of the scan) a line's core with two dots in it. */
function marks(withDots: boolean): NonNullable<RegionResult['marks']> {
  const data = new Uint8Array(SIZE.widthPx * SIZE.heightPx).fill(REVERSE_MARKS.bare);
  for (let y = 20; y < 40; y++) {
    for (let x = 20; x < 180; x++) {
      const isDot = withDots && [60, 140].some((at) => Math.hypot(x - at, y - 30) < 5);
      data[y * SIZE.widthPx + x] = isDot ? REVERSE_MARKS.bleed : REVERSE_MARKS.behindCore;
    }
  }
  return { data, ...SIZE };
}

function reverse(withDots: boolean): OverlayRegion {
  const like = strokes('behind');
  const result = { ...like.result!, ink: null, edge: null, quantities: GHOST, marks: marks(withDots) };
  return { ...like, kind: 'reverse', boxPx: [20, 20, 200, 100], result };
}

describe('the back of a page', () => {
  test('says what shows through and what came through, with their figures', () => {
    expect(says(reverse(true))).toBe('Strong ghosting; two dots came through.');
    const none = [
      quantity('ghosting', 0.1, 'ΔL*', 0.1, { verdict: 'none' }),
      quantity('bleedThrough.dots', 0, 'dots', 0.2),
    ];
    const region = reverse(true);
    expect(says({ ...region, result: { ...region.result!, quantities: none } })).toBe(
      'No ghosting; nothing came through.',
    );
    const next = [quantity('bleedThrough.next', 1, 'dots', 0.2)];
    expect(says({ ...region, result: { ...region.result!, quantities: next } })).toBe(
      'One dot reached the next sheet.',
    );
    const refused = [quantity('ghosting', null, 'ΔL*', null, { flags: ['not-registered'] })];
    expect(says({ ...region, result: { ...region.result!, quantities: refused } })).toBe(
      'What shows through cannot be told.',
    );
    expect(figuresOf(GHOST).map(({ label, word }) => [label, word])).toEqual([
      ['Ghosting', 'strong'],
      ['Bleed-through', 'faint'],
      ['dots', ''],
    ]);
    expect(figuresOf(GHOST)[2]).toMatchObject({ value: '2', spread: '± 1', unit: '' });
  });

  test('bears its ghost in colour', async () => {
    const { data } = await sharp(await drawOverlay(pageTask(scan, [reverse(true)])))
      .raw()
      .toBuffer({ resolveWithObject: true });
    let coloured = 0;
    for (let i = 0; i < data.length; i += 3) {
      const [r, g, b] = data.subarray(i, i + 3);
      if (Math.max(r, g, b) - Math.min(r, g, b) > 40) coloured++;
    }
    // The core is 160 × 20 px of the scan, veiled almost whole.
    expect(coloured).toBeGreaterThan(1500);
  });

  test('has a ring about every place where ink came through', () => {
    const rings = (withDots: boolean): number =>
      bleedShapes(marks(withDots), (x, y) => [x, y], 1, '#f00').match(/M/g)?.length ?? 0;
    // Each drawn in a dark, a light and its own line.
    expect(rings(true)).toBe(3 * 2);
    expect(rings(false)).toBe(0);
  });
});
