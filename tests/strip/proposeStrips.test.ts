/** Strips found on a scan: drawn ones laid on a bed, in every direction, beside other things. */
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { proposeStrips, type ProposedStrip } from '../../analysis/measure/strip/proposeStrips.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { stripsOnScan } from '../../electron/jobs/lookAtStrip.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import sample from '../../sample-scans/sheet.json' with { type: 'json' };
import type { StripLook, Travel } from './drawStrip.ts';
import { randomStrip, type TrueStrip } from './randomStrip.ts';

const DPI = 100;
const PX = DPI / 25.4;

interface Laid {
  readonly strip: TrueStrip;
  readonly atMm: readonly [number, number];
}

/** A bed with scanner noise, and strips on it. */
function bedWith(sizeMm: readonly [number, number], bed: StripLook['bed'], laid: readonly Laid[]): LinearRaster {
  const [widthPx, heightPx] = sizeMm.map((v) => Math.round(v * PX));
  const random = seededRandom(3);
  const data = new Float32Array(3 * widthPx * heightPx).map((_, i) => bed[i % 3] + 0.004 * (random() + random() - 1));
  for (const { strip, atMm } of laid) {
    const [x, y] = atMm.map((v) => Math.round(v * PX));
    const { raster } = strip;
    for (let row = 0; row < raster.heightPx; row++)
      data.set(
        raster.data.subarray(3 * row * raster.widthPx, 3 * (row + 1) * raster.widthPx),
        3 * ((y + row) * widthPx + x),
      );
  }
  return { data, widthPx, heightPx, dpi: DPI, originPx: [0, 0], clipped: new Uint8Array(widthPx * heightPx) };
}

const WHITE: StripLook['bed'] = [0.95, 0.95, 0.95];
const BLACK: StripLook['bed'] = [0.02, 0.02, 0.02];

function strip(seed: number, travel: Travel, look: Partial<StripLook> = {}): TrueStrip {
  const lines = { dpi: DPI, pencil: 0.25, tideline: 0.045, travel, bedMm: 0, widthMm: 18, laneMm: 7 };
  return randomStrip(seed, { dyes: 3, run: 'fresh', stepMm: 0.25, look: { ...lines, ...look } });
}

/** Where the ends of a laid strip are on the scan, mm. */
function endsOnScan({ strip: s, atMm }: Laid): [origin: number, front: number] {
  const across = s.look.travel === 'left' || s.look.travel === 'right';
  return [s.originMm + atMm[across ? 0 : 1], s.frontMm + atMm[across ? 0 : 1]];
}

function expectFound(found: ProposedStrip | undefined, laid: Laid): void {
  const { look, raster } = laid.strip;
  expect(found?.travel).toBe(look.travel);
  const [x, y, w, h] = found!.boxMm;
  expect(x).toBeLessThan(laid.atMm[0] + 1);
  expect(y).toBeLessThan(laid.atMm[1] + 1);
  expect(w - raster.widthPx / PX).toBeLessThan(7);
  expect(h - raster.heightPx / PX).toBeLessThan(7);
  const start = look.travel === 'left' || look.travel === 'right' ? x : y;
  const [origin, front] = endsOnScan(laid);
  expect(Math.abs((found!.originMm ?? Number.NaN) + start - origin)).toBeLessThan(0.4);
  expect(Math.abs((found!.frontMm ?? Number.NaN) + start - front)).toBeLessThan(0.4);
}

test('two strips side by side on a white bed, from left to right', () => {
  const laid = [61, 63].map((seed, i): Laid => ({ strip: strip(seed, 'up'), atMm: [10 + 30 * i, 12 + 3 * i] }));
  const found = proposeStrips(bedWith([80, 125], WHITE, laid));
  expect(found).toHaveLength(2);
  laid.forEach((one, i) => expectFound(found[i], one));
});

test.each([
  ['up', BLACK],
  ['down', WHITE],
  ['left', WHITE],
  ['right', BLACK],
] as const)('travel %s is told', (travel, bed) => {
  const one: Laid = { strip: strip(64, travel), atMm: [12, 9] };
  const found = proposeStrips(bedWith([125, 125], bed, [one]));
  expect(found).toHaveLength(1);
  expectFound(found[0], one);
});

test('the shadows of the paper’s own cut ends are neither origin nor front', () => {
  const one: Laid = { strip: strip(61, 'up'), atMm: [12, 12] };
  const scan = bedWith([50, 125], WHITE, [one]);
  const { widthPx, heightPx } = one.strip.raster;
  const [x0, y0] = one.atMm.map((v) => Math.round(v * PX));
  for (const y of [y0 + 1, y0 + heightPx - 2])
    for (let x = x0; x < x0 + widthPx; x++)
      for (let c = 0; c < 3; c++) scan.data[3 * (y * scan.widthPx + x) + c] *= 0.4;
  const [found] = proposeStrips(scan);
  expect(found?.travelSure).toBe(true);
  expectFound(found, one);
});

test('the sample’s two strips: the way, the origin and the front', async () => {
  for (const { id, file } of sample.scans.filter((s) => s.id.startsWith('strip'))) {
    const info = await scanInfo(join(import.meta.dirname, '../../sample-scans', file));
    const boxPx = [0, 0, info.widthPx, info.heightPx] as const;
    const task = { task: 'propose', info, dpi: 300, boxPx, calibration: nominalCalibration } as const;
    const { strips } = await stripsOnScan(task);
    expect(strips).toHaveLength(1);
    const [found] = strips;
    const region = sample.regions.find((r) => r.scan === id)!;
    const shift = region.boxMm[1] - found.boxMm[1];
    expect(found).toMatchObject({ travel: 'up', travelSure: true });
    expect(Math.abs(found.originMm! - shift - region.originMm!)).toBeLessThan(0.005);
    expect(Math.abs(found.frontMm! - shift - region.frontMm!)).toBeLessThan(0.1);
  }
});

test('a bent strip is found with its ends', () => {
  const bent = strip(65, 'down', { bendMm: 2.5, leanDeg: 1, bedMm: 4, bed: WHITE });
  const one: Laid = { strip: bent, atMm: [20, 12] };
  const [found] = proposeStrips(bedWith([80, 125], WHITE, [one]));
  expect(found?.travel).toBe('down');
  const [origin, front] = endsOnScan(one);
  expect(Math.abs((found.originMm ?? Number.NaN) + found.boxMm[1] - origin)).toBeLessThan(0.15);
  expect(Math.abs((found.frontMm ?? Number.NaN) + found.boxMm[1] - front)).toBeLessThan(0.05);
});

test('an empty bed, a card and a pencil are no strips', () => {
  const scan = bedWith([110, 125], WHITE, []);
  expect(proposeStrips(scan)).toEqual([]);
  const fill = (x0: number, y0: number, w: number, h: number, v: number) => {
    for (let y = Math.round(y0 * PX); y < (y0 + h) * PX; y++)
      for (let x = Math.round(x0 * PX); x < (x0 + w) * PX; x++)
        scan.data.fill(v, 3 * (y * scan.widthPx + x), 3 * (y * scan.widthPx + x) + 3);
  };
  fill(10, 10, 80, 60, 0.6);
  fill(10, 80, 90, 3, 0.3);
  expect(proposeStrips(scan)).toEqual([]);
});
