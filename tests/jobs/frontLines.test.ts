/** Strips whose times are told make a line, within one paper, liquid and temperature. */
import { expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { measureStrip } from '../../analysis/measure/strip/measureStrip.ts';
import { told } from '../../analysis/measure/strip/strip.ts';
import { pairFindings, pairsOf } from '../../electron/jobs/pairFindings.ts';
import type { RegionResult } from '../../electron/jobs/tasks.ts';
import { regionSchema } from '../../electron/sheet/sheetSchema.ts';
import { nominal } from '../strip/judgeStrip.ts';

const region = (id: string, more: object) => ({
  ...regionSchema.parse({ id, scan: 'page', kind: 'strip', boxMm: [0, 0, 20, 90], ...more }),
  paper: 'filter',
});

/** A strip of which only the front's distance is known. */
function result(id: string, frontMm: number): RegionResult {
  const signal = {
    data: new Float32Array(27),
    widthPx: 3,
    heightPx: 3,
    dpi: 150,
    originPx: [0, 0] as const,
    clipped: new Uint8Array(9),
  };
  const strip = measureStrip({
    id,
    signal,
    calibration: nominal,
    travel: 'up',
    originMm: null,
    frontMm: null,
    run: null,
  });
  return {
    id,
    quantities: [],
    ink: null,
    marks: null,
    spread: null,
    strip: { ...strip, frontDistance: told(frontMm, 0, 0.1) },
  };
}

async function lines(regions: readonly ReturnType<typeof region>[], fronts: readonly number[]) {
  const byId = new Map(regions.map((r, i) => [r.id, result(r.id, fronts[i])]));
  const findings = await pairFindings(regions, byId, () => nominalCalibration);
  return findings.filter((q) => q.quantity === 'frontSpeed.line');
}

test('three times of one liquid make a line with the slope of its fronts', async () => {
  const regions = [100, 400, 900].map((runS, i) => region(`s${i}`, { runS, liquid: 'water', temperatureC: 20 }));
  const [line, ...others] = await lines(regions, [20, 40, 60]);
  expect(others).toEqual([]);
  expect(line.value).toBeCloseTo(2, 9);
  expect(line.subject.regions).toEqual(['s0', 's1', 's2']);
});

test('another liquid, another temperature or an untold time stays out', async () => {
  const water = [100, 400].map((runS, i) => region(`s${i}`, { runS, liquid: 'water', temperatureC: 20 }));
  for (const more of [
    { runS: 900, liquid: 'alcohol', temperatureC: 20 },
    { runS: 900, liquid: 'water', temperatureC: 30 },
    { liquid: 'water' },
  ])
    expect(await lines([...water, region('other', more)], [20, 40, 60])).toEqual([]);
});

test('a fresh and a dried strip of two liquids are not held against each other', () => {
  const pair = (dried: object) =>
    pairsOf([region('a', { run: 'fresh', liquid: 'water' }), region('b', { run: 'dried', ...dried })]).runs;
  expect(pair({ liquid: 'alcohol' })).toEqual([]);
  expect(pair({ liquid: 'water' })).toEqual([['a', 'b']]);
  expect(pair({})).toEqual([['a', 'b']]);
});
