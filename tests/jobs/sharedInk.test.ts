/** What two boxes share is told with every figure of the samples that count it. */
import { expect, test } from 'vitest';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import type { Measurable } from '../../electron/jobs/measurable.ts';
import { flagSharedInk } from '../../electron/jobs/sharedInk.ts';
import type { RegionResult } from '../../electron/jobs/tasks.ts';

/** 254 dpi: ten pixels a millimetre. */
const SCAN = { dpi: 254, info: { widthPx: 100, heightPx: 100 } };
const MM = 10;

function region(id: string, scan: string, topMm: number, heightMm: number): Measurable {
  return { id, scan, kind: 'strokes', boxMm: [0, topMm, 10, heightMm], paper: null };
}

/** A line of ink from 4 to 5 mm of the page, as the box sees it. */
function resultOf({ id, boxMm: [, top, width, height] }: Measurable): RegionResult {
  const [widthPx, heightPx] = [width * MM, height * MM];
  const data = new Uint8Array(widthPx * heightPx);
  data.fill(INK_MARKS.counted, (4 - top) * MM * widthPx, (5 - top) * MM * widthPx);
  const quantity = {
    subject: { regions: [id] },
    value: 1,
    u: 0.1,
    unit: 'mm',
    flags: ['lossy'],
    method: 'x/1',
  } as const;
  return {
    id,
    quantities: [
      { ...quantity, quantity: 'lineWidth' },
      { ...quantity, quantity: 'spread' },
    ],
    ink: null,
    marks: { data, widthPx, heightPx },
    spread: null,
    strip: null,
  };
}

function flagsOf(regions: readonly Measurable[]): Record<string, string> {
  const scans = new Map([...new Set(regions.map((r) => r.scan))].map((scan) => [scan, SCAN]));
  const told = flagSharedInk(regions, new Map(regions.map((r) => [r.id, resultOf(r)])), scans);
  return Object.fromEntries(
    [...told].map(([id, { quantities }]) => [id, quantities.map(({ flags }) => flags.join(' ')).join(', ')]),
  );
}

test('both samples that count one line say so in all their figures', () => {
  const shared = 'lossy shared-ink, lossy shared-ink';
  expect(flagsOf([region('a', 'page', 0, 6), region('b', 'page', 3, 6)])).toEqual({ a: shared, b: shared });
});

test('the same place on another page is another line', () => {
  const own = 'lossy, lossy';
  expect(flagsOf([region('a', 'page', 0, 6), region('b', 'next page', 3, 6)])).toEqual({ a: own, b: own });
});
