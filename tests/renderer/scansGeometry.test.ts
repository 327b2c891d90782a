/** Boxes of regions: drawn, moved, resized by eight handles, kept on the scan, and what a press takes hold of. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { SheetRegion } from '../../electron/backend/api.ts';
import {
  HANDLES,
  LEAST_SIDE_MM,
  boxInView,
  drawnBox,
  handlePoint,
  keptOnScan,
  movedBox,
  offScan,
  resizedBox,
} from '../../renderer/scans/regionGeometry.ts';
import type { BoxMm } from '../../renderer/scans/regionGeometry.ts';
import { cursorOn, draggedRegions, gestureOn } from '../../renderer/scans/regionGesture.ts';
import { regionAt } from '../../renderer/scans/regionHits.ts';
import { startOfStripLine, withStripLine } from '../../renderer/scans/stripLines.ts';

fc.configureGlobal({ seed: 4 });

const A4 = { width: 210, height: 297 };
const swab: SheetRegion = { id: 'swab', scan: 'white', kind: 'swab', boxMm: [20, 30, 40, 10] };
const page: SheetRegion = { id: 'page', scan: 'white', kind: 'paper', boxMm: [0, 0, 200, 200] };
const strip: SheetRegion = {
  id: 'run',
  scan: 'white',
  kind: 'strip',
  boxMm: [100, 50, 20, 80],
  originMm: 70,
  frontMm: 10,
  travel: 'up',
};

/** Where the four sides lie, to the hundredth that boxes are kept with. */
function sides([x, y, width, height]: BoxMm) {
  const hundredths = (mm: number): number => Math.round(100 * mm);
  return { w: hundredths(x), n: hundredths(y), e: hundredths(x + width), s: hundredths(y + height) };
}

describe('boxes', () => {
  test('a box is drawn from either corner and cut at the edges of the scan', () => {
    expect(drawnBox([10, 20], [30, 50], A4)).toEqual([10, 20, 20, 30]);
    expect(drawnBox([30, 50], [10, 20], A4)).toEqual([10, 20, 20, 30]);
    expect(drawnBox([200, 290], [260, 310], A4)).toEqual([200, 290, 10, 7]);
    expect(drawnBox([-9, -4], [2, 3], A4)).toEqual([0, 0, 2, 3]);
  });

  test('a slip of the hand, or a box wholly beside the scan, is no box', () => {
    expect(drawnBox([10, 20], [10.3, 50], A4)).toBeNull();
    expect(drawnBox([220, 20], [240, 50], A4)).toBeNull();
  });

  test.each([
    ['nw', [15, 28, 45, 12]],
    ['n', [20, 28, 40, 12]],
    ['ne', [20, 28, 35, 12]],
    ['e', [20, 30, 35, 10]],
    ['se', [20, 30, 35, 8]],
    ['s', [20, 30, 40, 8]],
    ['sw', [15, 30, 45, 8]],
    ['w', [15, 30, 45, 10]],
  ] as const)('handle %s moved by (−5, −2) moves its sides alone', (handle, box) => {
    expect(resizedBox([20, 30, 40, 10], handle, -5, -2)).toEqual(box);
  });

  test('whatever is dragged, the side across stays and the box keeps a size', () => {
    const by = fc.double({ min: -500, max: 500, noNaN: true });
    fc.assert(
      fc.property(fc.constantFrom(...HANDLES), by, by, (handle, x, y) => {
        const box = resizedBox([20, 30, 40, 10], handle, x, y);
        expect(box[2]).toBeGreaterThanOrEqual(LEAST_SIDE_MM - 1e-9);
        expect(box[3]).toBeGreaterThanOrEqual(LEAST_SIDE_MM - 1e-9);
        const still = (['w', 'n', 'e', 's'] as const).filter((side) => !handle.includes(side));
        expect(still.map((side) => sides(box)[side])).toEqual(still.map((side) => sides([20, 30, 40, 10])[side]));
      }),
    );
  });

  test('moving keeps the size, and moving back is where it was', () => {
    const there = movedBox([20, 30, 40, 10], 0.1, -1);
    expect(there).toEqual([20.1, 29, 40, 10]);
    expect(movedBox(there, -0.1, 1)).toEqual([20, 30, 40, 10]);
  });

  test('a nudge stops at the edge', () => {
    expect(keptOnScan([-0.1, 296.9, 40, 10], A4)).toEqual([0, 287, 40, 10]);
    expect(keptOnScan([20, 30, 400, 10], A4)).toEqual([0, 30, 210, 10]);
  });

  test('off the scan: which edge, by how much, how large the scan is, what to do', () => {
    expect(offScan([20, 30, 40, 10], A4, 'swab')).toBeNull();
    expect(offScan([-0.4, 30, 40, 10], A4, 'swab')).toBeNull();
    expect(offScan([190, -3, 40, 10], A4, 'swab')).toBe(
      '“swab” would reach 3 mm over the top edge and 20 mm over the right edge; the scan is 210 × 297 mm. ' +
        'It was put back: draw it inside the scan, or correct the scan’s dpi.',
    );
  });

  test('without a mouse a region lies in the middle of what is in view, on the scan', () => {
    expect(boxInView([60, 60, 30, 60], A4)).toEqual([70, 80, 10, 20]);
    // Half of the view lies left of the scan.
    expect(boxInView([-30, 60, 60, 60], A4)).toEqual([10, 80, 10, 20]);
    // The scan is out of sight.
    expect(boxInView([500, 500, 60, 60], A4)).toEqual([70, 99, 70, 99]);
  });
});

describe('what a press takes hold of', () => {
  const regions = [page, swab, strip];

  test('the smallest region under the pointer', () => {
    expect(regionAt([30, 35], regions, [], 1)).toEqual({ hit: 'body', id: 'swab' });
    expect(regionAt([30, 60], regions, [], 1)).toEqual({ hit: 'body', id: 'page' });
    expect(regionAt([205, 250], regions, [], 1)).toBeNull();
  });

  test('each of the eight handles, of one chosen region alone', () => {
    for (const handle of HANDLES) {
      const [x, y] = handlePoint([20, 30, 40, 10], handle);
      expect(regionAt([x + 0.5, y - 0.5], regions, ['swab'], 1)).toEqual({ hit: 'handle', id: 'swab', handle });
      expect(regionAt([x + 0.5, y - 0.5], regions, ['swab', 'page'], 1)?.hit).toBe('body');
    }
  });

  test('a chosen strip’s origin and front', () => {
    expect(regionAt([110, 120.4], regions, ['run'], 1)).toEqual({ hit: 'line', id: 'run', line: 'origin' });
    expect(regionAt([110, 59.8], regions, ['run'], 1)).toEqual({ hit: 'line', id: 'run', line: 'front' });
    expect(regionAt([110, 59.8], regions, [], 1)).toEqual({ hit: 'body', id: 'run' });
  });

  test('only what is chosen moves, so that a pan shifts nothing', () => {
    const hit = regionAt([30, 35], regions, [], 1);
    expect(gestureOn(hit, [30, 35], regions, [])).toBeNull();
    expect(gestureOn(hit, [30, 35], regions, ['swab'])?.does).toBe('move');
    expect(cursorOn(hit, [], regions)).toBe('pointer');
    expect(cursorOn(hit, ['swab'], regions)).toBe('move');
  });

  test('several chosen regions of the scan move together', () => {
    const gesture = gestureOn({ hit: 'body', id: 'swab' }, [30, 35], regions, ['swab', 'run']);
    const moved = gesture ? draggedRegions(gesture, [32, 34]) : [];
    expect(moved.map(({ id, boxMm }) => [id, boxMm])).toEqual([
      ['swab', [22, 29, 40, 10]],
      ['run', [102, 49, 20, 80]],
    ]);
  });
});

describe('strip lines', () => {
  test('a dragged line stays in its box; the other stays where it is', () => {
    const drag = (y: number): SheetRegion[] => {
      const gesture = gestureOn({ hit: 'line', id: 'run', line: 'front' }, [110, 60], [strip], ['run']);
      return gesture ? draggedRegions(gesture, [113, y]) : [];
    };
    expect(drag(64)).toMatchObject([{ frontMm: 14, originMm: 70 }]);
    expect(drag(300)).toMatchObject([{ frontMm: 80 }]);
    expect(drag(-300)).toMatchObject([{ frontMm: 0 }]);
  });

  test('a line taken away leaves no field behind', () => {
    expect(withStripLine(strip, 'origin', null)).not.toHaveProperty('originMm');
    expect(withStripLine(strip, 'origin', null)).toHaveProperty('frontMm', 10);
  });

  test('lines set by hand start where the solvent came from and went to', () => {
    const up: BoxMm = [0, 0, 20, 100];
    const base = { id: 's', scan: 'w', kind: 'strip' as const, boxMm: [...up] as [number, number, number, number] };
    expect(startOfStripLine({ ...base, travel: 'up' }, 'origin')).toBe(85);
    expect(startOfStripLine({ ...base, travel: 'up' }, 'front')).toBe(15);
    expect(startOfStripLine({ ...base, travel: 'down' }, 'origin')).toBe(15);
    expect(startOfStripLine({ ...base, travel: 'right' }, 'front')).toBe(17);
  });
});
