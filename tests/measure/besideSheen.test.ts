/** Colours of a sample beside its sheen, on pixels whose doses and whose sheen are known. */
import { expect, test } from 'vitest';
import type { Xyz } from '../../analysis/colour/lab.ts';
import { coloursBesideSheen } from '../../analysis/measure/besideSheen.ts';

const PAPER: Xyz = [0.83, 0.86, 0.7];
const K = [1.2, 0.9, 0.3] as const;
/** Each dose at least 15 % from the next: a bin of its own. */
const DOSES = [0.5, 0.8, 1.3, 2];
const EACH = 1000;

/** @param shining of each dose the share that sheen's light reaches */
function beside(shining: readonly number[]) {
  const xyz = new Float32Array(3 * EACH * DOSES.length);
  const near = new Uint8Array(EACH * DOSES.length);
  DOSES.forEach((dose, d) => {
    for (let k = 0; k < EACH; k++) {
      const pixel = d * EACH + k;
      const isNear = k < shining[d] * EACH;
      near[pixel] = isNear ? 1 : 0;
      // Sheen's light is red.
      K.forEach((each, c) => (xyz[3 * pixel + c] = PAPER[c] * Math.exp(-each * dose) + (isNear && c === 0 ? 0.02 : 0)));
    }
  });
  return coloursBesideSheen(near, { xyz, smoothXyz: xyz, paperNoise: 0.001 }, PAPER);
}

test('each dose’s colour is that of its pixels without sheen, its share what they are of all', () => {
  const found = beside([0, 0, 0.2, 0.7]);
  expect(found).toHaveLength(4);
  found.forEach(({ xyz, share }, d) => {
    K.forEach((each, c) => expect(xyz[c] / (PAPER[c] * Math.exp(-each * DOSES[d]))).toBeCloseTo(1, 3));
    expect(share).toBeCloseTo([0.25, 0.25, 0.2, 0.075][d], 3);
  });
});

test('a dose of which more than four fifths lies near sheen tells none', () => {
  expect(beside([0, 0, 0, 0.78])).toHaveLength(4);
  expect(beside([0, 0, 0, 0.82])).toHaveLength(3);
});
