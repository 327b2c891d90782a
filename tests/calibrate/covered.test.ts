/** From where on a patch is told as covered, on a target of exact colours before a device that errs nowhere else. */
import { expect, test } from 'vitest';
import type { PatchReading } from '../../analysis/calibrate/calibration.ts';
import { coveredPatches } from '../../analysis/calibrate/covered.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, labToXyz, type LabD50 } from '../../analysis/colour/lab.ts';
import { madeUpTarget } from './madeUpTarget.ts';

const { readings, reference, device } = madeUpTarget();
const labOf = (id: string): LabD50 => reference.patches.get(id)!.lab;
/** As white as the first grey, which lies bare. */
const PAPER = labD50(94, 0, 0);

/** @param under what lies on a patch, as a colour and as a share more of each channel */
function told(under: Readonly<Record<string, readonly [LabD50, number?]>>, among: readonly PatchReading[] = readings) {
  const scanned = among.map((reading): PatchReading => {
    const on = under[reading.id];
    if (on === undefined) return reading;
    const [r, g, b] = device(labToXyz(on[0])).map((value) => value * (1 + (on[1] ?? 0)));
    return { ...reading, device: [r, g, b] };
  });
  return Object.fromEntries(coveredPatches(scanned, reference));
}

test('a clean target has none', () => expect(told({})).toEqual({}));

test.each([
  [11, {}],
  [13, { 'C55-0': 'departs' }],
])('a patch %d ΔE00 off: from 12 on it departs', (away, found) => {
  const own = labOf('C55-0');
  const off = Array.from({ length: 200 }, (_, i) => labD50(own[0] - 0.1 * i, own[1], own[2])).find(
    (lab) => deltaE2000(lab, own) >= away,
  );
  expect(told({ 'C55-0': [off!] })).toEqual(found);
});

test.each([
  [19, {}],
  [20, { G10: 'departs' }],
])('of %d patches', (count, found) => {
  // White on the tenth grey, and nothing else as white.
  expect(told({ G10: [labD50(99, 0, 0)] }, readings.slice(0, count))).toEqual(found);
});

test('what looks like a departing patch within 2 % goes with it, where such are known to be of several colours', () => {
  // Paper on a dark grey, and on a pale one that by itself departs by less than a scanner may.
  expect(told({ G3: [PAPER] })).toEqual({});
  expect(told({ G10: [PAPER], G3: [PAPER, 0.015] })).toEqual({ G10: 'departs', G3: 'alike', G1: 'alike' });
  expect(told({ G10: [PAPER], G3: [PAPER, 0.025] })).toEqual({ G10: 'departs' });
  // White patches beside a misprinted value are all known as white.
  expect(deltaE2000(labOf('G1'), labOf('G2'))).toBeLessThan(5);
  expect(told({ G10: [PAPER], G2: [PAPER] })).toEqual({ G10: 'departs' });
});
