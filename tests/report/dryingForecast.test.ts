/** What drying fixed, told with its numbers, and what that forecasts. */
import { expect, test } from 'vitest';
import type { Quantity, Subject } from '../../analysis/quantity.ts';
import { dryingForecast } from '../../analysis/report/dryingForecast.ts';
import { namesOf, type RegionName } from '../../analysis/report/names.ts';
import { sampleNames } from './sampleNames.ts';

const strip = (run: 'fresh' | 'dried', liquid: string | null = null): RegionName => ({
  id: run,
  kind: 'strip',
  nib: null,
  paper: null,
  run,
  liquid,
});

function number(quantity: Quantity['quantity'], subject: Subject, value: number | null, u: number): Quantity {
  const unit = quantity.includes('Share') || quantity.includes('Retained') || quantity.endsWith('share') ? '%' : '1';
  return { quantity, subject, value, unit, u: value === null ? null : u, flags: [], method: `${quantity}/1` };
}

const PAIR = ['fresh', 'dried'];
const findings: Quantity[] = [
  {
    ...number('bandColour', { regions: ['fresh'], band: 1 }, 0, 1),
    value: [50, -5, -40],
    unit: 'Lab',
    u: [1, 1, 1],
    verdict: 'vivid blue',
  },
  number('originRetained', { regions: ['fresh'] }, 8, 0.5),
  number('originRetained', { regions: ['dried'] }, 34, 1),
  number('runShift.originRetained', { regions: PAIR }, 26, 1.1),
  number('runShift', { regions: PAIR, band: 1 }, -0.05, 0.004),
  number('runShift', { regions: PAIR, band: 2 }, 0.001, 0.004),
  number('bandPosition', { regions: ['dried'], band: 1 }, 0.35, 0.002),
  number('bandPosition', { regions: ['dried'], band: 2 }, 0.8, 0.002),
  number('bandShare', { regions: ['dried'], band: 2 }, 31, 0.4),
];

test('bands that moved less, and a forecast with the numbers that it rests on', () => {
  const lines = dryingForecast(namesOf([strip('fresh', 'water'), strip('dried', 'water')], findings));
  expect(lines.map(({ text }) => text)).toEqual([
    'After drying, band 1 (vivid blue) ran less far by R_F 0.0500 ± 0.0080; the other band ran as far as before within the uncertainty.',
    'Forecast for water: of the colour of the dried strip, 34.0 ± 2.0 % stayed where it was put while the liquid ran through it, 8.0 ± 1.0 % of the fresh one, ' +
      'so that about as much of dried writing should withstand a soak. What a soak takes first should be band 2 of the dried strip (R_F 0.8000 ± 0.0040, 31.00 ± 0.80 % of its colour). ' +
      'No soak has been measured to compare this with, and writing paper may hold the dyes otherwise than the strip’s.',
  ]);
  expect(lines.map(({ key }) => key)).toEqual(['runShift(fresh,dried)#1', 'originRetained(dried)']);
});

test('a liquid that nobody named is taken to be water and said so; another one forecasts nothing of it', () => {
  const of = (liquid: string | null) =>
    dryingForecast(namesOf([strip('fresh', liquid), strip('dried', liquid)], findings));
  expect(of(null)[1].text).toContain('The liquid is taken to be water, since nobody named it.');
  expect(of('alcohol')).toHaveLength(1);
});

test('no pair, no lines; nothing moved is said', () => {
  expect(dryingForecast(namesOf([strip('fresh')], findings.slice(0, 2)))).toEqual([]);
  const still = findings.map((f) => (f.quantity === 'runShift' ? { ...f, value: 0.002 } : f));
  expect(dryingForecast(namesOf([strip('fresh'), strip('dried')], still))[0].text).toBe(
    'After drying, no band’s run changed by more than the uncertainty.',
  );
});

test('the sample’s strips are told, each line by a finding that is there', () => {
  const lines = dryingForecast(sampleNames);
  expect(lines).toHaveLength(2);
  for (const { key, text } of lines) {
    expect(sampleNames.findings.has(key)).toBe(true);
    expect(text).not.toMatch(/NaN|undefined|null/);
  }
});

test('bands in the order of what they lost, those that ran farther and those that did not', () => {
  const moved = (shifts: readonly (number | null)[], u = 0.004) =>
    dryingForecast(
      namesOf(
        [strip('fresh', 'alcohol'), strip('dried', 'alcohol')],
        [
          number('runShift.originRetained', { regions: PAIR }, 26, 1.1),
          number('runShift', { regions: ['other', 'dried'], band: 1 }, -0.3, 0.004),
          number('runShift', { regions: ['fresh', 'other'], band: 1 }, -0.3, 0.004),
          ...shifts.map((value, i) => number('runShift', { regions: PAIR, band: i + 1 }, value, u)),
        ],
      ),
    );
  expect(moved([-0.05, -0.09, 0.03, 0.001, 0.002, null])).toEqual([
    {
      text:
        'After drying, band 2 ran less far by R_F 0.0900 ± 0.0080 and band 1 by R_F 0.0500 ± 0.0080; ' +
        'band 3 ran farther by R_F 0.0300 ± 0.0080; the other bands ran as far as before within the uncertainty.',
      key: 'runShift(fresh,dried)#2',
    },
  ]);
  expect(moved([0.03])).toEqual([
    { text: 'After drying, band 1 ran farther by R_F 0.0300 ± 0.0080.', key: 'runShift(fresh,dried)#1' },
  ]);
  // ± 2u decides.
  const unmoved = 'After drying, no band’s run changed by more than the uncertainty.';
  for (const shift of [-0.019, 0.019]) expect(moved([shift], 0.01)[0].text).toBe(unmoved);
  for (const shift of [-0.021, 0.021]) expect(moved([shift], 0.01)[0].text).not.toBe(unmoved);
  expect(moved([null])).toEqual([]);
});

test('what is not known is left out of the forecast', () => {
  const kept = number('originRetained', { regions: ['dried'] }, 34, 1);
  const pair = number('runShift.originRetained', { regions: PAIR }, null, 1);
  const told = (...known: Quantity[]) =>
    dryingForecast(namesOf([strip('fresh', 'water'), strip('dried', 'water')], known));
  expect(told(pair)).toEqual([]);
  expect(told(pair, number('originRetained', { regions: ['dried'] }, null, 1))).toEqual([]);
  const nothing = number('bandPosition', { regions: ['dried'], band: 1 }, null, 1);
  const others = number('bandPosition', { regions: ['fresh'], band: 1 }, 0.9, 0.01);
  const [alone] = told(pair, kept, nothing, others);
  expect(alone.text).toContain('34.0 ± 2.0 % stayed where it was put while the liquid ran through it, so that about');
  expect(alone.text).not.toContain('takes first');
  const placed = number('bandPosition', { regions: ['dried'], band: 1 }, 0.35, 0.01);
  expect(told(pair, kept, placed)[0].text).toContain('should be band 1 of the dried strip (R_F 0.350 ± 0.020).');
});
