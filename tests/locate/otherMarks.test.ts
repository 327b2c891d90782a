/** A label's one free word beside writing in brownish black: hardly told by its colour, but the writing's pieces agree far better. */
import { expect, test } from 'vitest';
import { setOtherMarksAside } from '../../analysis/locate/otherMarks.ts';

const W = 300;
const H = 160;
const INK = [0.845, 0.9, 0.904];
const BLACK = [0.821, 0.821, 0.819];

interface Bar {
  readonly box: readonly [x: number, y: number, width: number, height: number];
  readonly lost: readonly number[];
}

function page(bars: readonly Bar[]) {
  const mask = { data: new Uint8Array(W * H), widthPx: W, heightPx: H };
  const ratio = new Float32Array(3 * W * H).fill(1);
  const contrast = new Float32Array(W * H);
  for (const { box, lost } of bars) {
    for (let y = box[1]; y < box[1] + box[3]; y++) {
      for (let x = box[0]; x < box[0] + box[2]; x++) {
        const i = y * W + x;
        mask.data[i] = 1;
        contrast[i] = (lost[0] + lost[1] + lost[2]) / 3;
        for (let c = 0; c < 3; c++) ratio[3 * i + c] = 1 - lost[c];
      }
    }
  }
  return setOtherMarksAside(mask, ratio, contrast, 300);
}

/** Upright strokes, 8 px broad. */
const WRITING: readonly Bar[] = [10, 50, 90, 130, 170].map((x) => ({ box: [x, 10, 8, 100], lost: INK }));
const WORD: Bar = { box: [220, 120, 4, 38], lost: BLACK };

test('is set aside', () => {
  expect(page([...WRITING, WORD])).toBe(4 * 38);
});

test.each<[string, readonly Bar[]]>([
  ['is too small for a word', [...WRITING, { ...WORD, box: [220, 120, 4, 30] }]],
  ['is as broad as the writing', [...WRITING, { ...WORD, box: [220, 120, 8, 38] }]],
  [
    'is hardly more unlike than a piece of the writing',
    [...WRITING, { ...WRITING[0], box: [210, 10, 8, 80], lost: [0.835, 0.885, 0.904] }, WORD],
  ],
  [
    'stands beside another grey piece as broad as the writing',
    [...WRITING, { ...WRITING[0], box: [210, 10, 8, 80], lost: BLACK }, WORD],
  ],
])('stays where it %s', (_, bars) => {
  expect(page(bars)).toBe(0);
});
