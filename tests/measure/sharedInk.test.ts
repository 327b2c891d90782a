/** Samples whose boxes share ink: which of them count what is not their own. */
import { expect, test } from 'vitest';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { type MarkedSample, type PixelBox, sharingInk } from '../../analysis/measure/sharedInk.ts';

/** @param inked Boxes of ink, pixels of the scan. */
function sample(
  id: string,
  boxPx: PixelBox,
  inked: readonly PixelBox[],
  kind = 'strokes',
  nib: string | null = null,
): MarkedSample {
  const [x0, y0, widthPx, heightPx] = boxPx;
  const data = new Uint8Array(widthPx * heightPx);
  for (const [left, top, width, height] of inked) {
    for (let y = Math.max(top, y0); y < Math.min(top + height, y0 + heightPx); y++) {
      for (let x = Math.max(left, x0); x < Math.min(left + width, x0 + widthPx); x++) {
        data[(y - y0) * widthPx + x - x0] = INK_MARKS.counted;
      }
    }
  }
  return { id, kind, nib, boxPx, marks: { data, widthPx } };
}

const LINES: readonly PixelBox[] = [
  [0, 10, 100, 10],
  [0, 50, 100, 10],
  [0, 90, 100, 10],
];
const of = (...samples: readonly MarkedSample[]): string[] => [...sharingInk(samples)];

test('boxes that overlap on bare paper share nothing', () => {
  expect(of(sample('a', [0, 0, 100, 45], LINES), sample('b', [0, 30, 100, 50], LINES))).toEqual([]);
});

test('a line that lies in both is told of both', () => {
  expect(of(sample('a', [0, 0, 100, 65], LINES), sample('b', [0, 45, 100, 60], LINES))).toEqual(['a', 'b']);
});

test.each([
  [2, []],
  [4, ['a']],
] as const)('of a tail of %i in a hundred parts: %j', (tail, expected) => {
  // Ten rows of a hundred pixels are all of a's ink but for the tail; of b's, which has five times as much, it is less.
  const ink: PixelBox[] = [
    [0, 0, 100, 10],
    [0, 40, 100, 50],
  ];
  const a = sample('a', [0, 0, 100, 41], [...ink.slice(0, 1), [0, 40, 10 * tail, 1]]);
  expect(of(a, sample('b', [0, 40, 100, 60], ink))).toEqual(expected);
});

test('a part of a sample is wanted by itself; another’s ink inside is not', () => {
  const whole = sample('whole', [0, 0, 100, 110], LINES, 'strokes', 'M');
  expect(of(whole, sample('word', [20, 45, 30, 20], LINES, 'strokes', 'M'))).toEqual([]);
  expect(of(whole, sample('nib', [20, 45, 60, 20], LINES, 'strokes', 'B'))).toEqual(['whole']);
  expect(of(whole, sample('swab', [20, 45, 60, 20], LINES, 'swab', 'M'))).toEqual(['whole']);
});

test('one box for two kinds counts the same on purpose', () => {
  expect(of(sample('a', [0, 0, 100, 65], LINES), sample('b', [0, 0, 100, 65], LINES, 'swab'))).toEqual([]);
});

test('halo and hairs are no ink that could be shared, and a sample without ink shares none', () => {
  const a = sample('a', [0, 0, 100, 65], LINES);
  const faint = { ...a, marks: { widthPx: 100, data: a.marks!.data.map((v) => (v === 0 ? 0 : INK_MARKS.halo)) } };
  const b = sample('b', [0, 45, 100, 60], LINES);
  expect(of(faint, b)).toEqual(['b']);
  expect(of({ ...a, marks: null }, b)).toEqual(['b']);
});

test('a box beside, and one over to the right, count what lies in them alone', () => {
  const line: readonly PixelBox[] = [[0, 50, 300, 10]];
  const left = sample('left', [0, 40, 160, 30], line);
  const right = sample('right', [140, 40, 160, 30], line);
  expect(of(left, right)).toEqual(['left', 'right']);
  // What both hold is the left one's own: of the right one it is 4 of 160.
  const mostly = sample('mostly', [0, 40, 144, 30], line);
  expect(of(mostly, right)).toEqual([]);
  expect(of(mostly, sample('beside', [150, 40, 100, 30], line))).toEqual([]);
  expect(of(mostly, sample('below', [0, 75, 144, 30], [[0, 80, 144, 10]]))).toEqual([]);
});

test('doubled ink and sheen are ink', () => {
  for (const mark of [INK_MARKS.doubleLayer, INK_MARKS.sheen]) {
    const a = sample('a', [0, 0, 100, 65], LINES);
    const marked = { ...a, marks: { widthPx: 100, data: a.marks!.data.map((v) => (v === 0 ? 0 : mark)) } };
    expect(of(marked, sample('b', [0, 45, 100, 60], LINES))).toEqual(['a', 'b']);
  }
});
