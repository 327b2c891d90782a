/** The turn of hue between light and dark ink: told only as far as either has a hue. */
import { expect, test } from 'vitest';
import { spreadQuantities } from '../../analysis/measure/inkQuantities.ts';

/** @param repeat @param calibration standard uncertainties of the turn, ° */
function turnOf(dHueDeg: number | null, repeat: number, calibration: number) {
  const parts = { dE00: 0.3, dL: 0.3 };
  const found = spreadQuantities({
    name: 'shading',
    dE00: 12,
    dL: 11,
    dHueDeg,
    uRepeat: { ...parts, dHueDeg: repeat },
    calibration: { ...parts, dHueDeg: calibration },
    placement: parts,
    subject: { regions: ['ef'] },
    flags: [],
    method: 'shading/1',
  });
  return found.find(({ quantity }) => quantity === 'shading.dHue');
}

test.each([
  ['two coloured ends', -17, 12, 8, { value: -17, u: Math.hypot(12, 8), flags: [] }],
  ['ends so grey that the turn may be any', -17, 60, 33, { value: null, u: null, flags: ['cannot-tell'] }],
  ['an end without a hue', null, 1, 1, { value: null, u: null, flags: ['cannot-tell'] }],
])('%s', (_, turn, repeat, calibration, told) => {
  expect(turnOf(turn, repeat, calibration)).toMatchObject(told);
});
