/** Tone curves that were drawn through greys with a colour of their own: what one channel's curve tells of another's. */
import { expect, test } from 'vitest';
import { bent } from '../../analysis/film/bend.ts';
import { bendPrior, type CurveTriple } from '../../analysis/film/bendPrior.ts';

const RANGES = [
  [0.01, 0.9],
  [0.01, 0.9],
  [0.01, 0.9],
] as const;
const law = (device: number): number => device ** 2.2;
/** Off by a share that grows towards black. */
const off = (share: number) => (device: number) => law(device) * Math.exp(share * (1 - device) ** 2);
const curves: CurveTriple = [off(0.3), off(-0.15), off(-0.15)];

test('channels that share a law are brought together where their curves part, whatever the greys did to each', () => {
  const { mean } = bendPrior('shared', curves, RANGES)!;
  const [red, green] = [0, 1].map((c) => (device: number) => {
    return bent(curves[c](device), { coefficients: [...mean.subarray(4 * c, 4 * c + 4)], range: RANGES[c] });
  });
  for (const device of [0.2, 0.35, 0.5, 0.7, 0.9]) {
    expect(Math.abs(Math.log(curves[0](device) / curves[1](device)))).toBeGreaterThan(0.004);
    expect(Math.abs(Math.log(red(device) / green(device)))).toBeLessThan(0.004);
    // Their mean was right here, so each is.
    expect(Math.abs(Math.log(red(device) / law(device)))).toBeLessThan(0.002);
  }
});

test('what all channels are off by alike is left open, what they differ by is not', () => {
  const { precision } = bendPrior('shared', curves, RANGES)!;
  const cost = (way: readonly number[]): number =>
    way.reduce((sum, v, a) => sum + v * way.reduce((row, w, b) => row + precision[12 * a + b] * w, 0), 0);
  // A tenth darker in the dark (terms of ∛signal − ½): in all channels, and in red alone.
  const dark = [0, 0, 0.4, 0];
  const none = [0, 0, 0, 0];
  expect(cost([...dark, ...dark, ...dark])).toBeLessThan(4);
  expect(cost([...dark, ...none, ...none])).toBeGreaterThan(3 * cost([...dark, ...dark, ...dark]));
});

test('curves that meet over less than a fifth of the scale say nothing of one another', () => {
  const same: CurveTriple = [law, law, law];
  const meeting = (span: number) => {
    const from = 0.3 ** (1 / 2.2);
    return bendPrior('shared', same, [
      [0.3, 0.9],
      [0.01, law(from + span)],
      [0.01, 0.9],
    ]);
  };
  expect(meeting(0.19)).toBeNull();
  expect(meeting(0.21)).not.toBeNull();
});

test('without the calibration’s curves nothing is known of one channel by another, and flat greys leave little open', () => {
  expect(bendPrior('shared', null, RANGES)).toBeNull();
  const { precision, mean } = bendPrior('separate', null, RANGES)!;
  expect(mean.every((v) => v === 0)).toBe(true);
  expect(precision[4]).toBe(0);
  expect(bendPrior('straight', curves, RANGES)!.precision[0]).toBeGreaterThan(10 * precision[0]);
});
