/** Strips through the backend: two laid on one bed are found, taken, measured, shown straight, and their dyes looked for. */
import sharp from 'sharp';
import { beforeAll, describe, expect, test, vi } from 'vitest';
import { shelfDyes } from '../../electron/answers/shelfDyes.ts';
import type { FindingsReport, RegionDetail, SheetRegion } from '../../electron/backend/api.ts';
import type { DyesAnswer, ShelfDyes, StripsOnScan } from '../../electron/backend/stripAnswers.ts';
import { drawPng } from '../host/drawPng.ts';
import { randomStrip, type TrueStrip } from '../strip/randomStrip.ts';
import { backendBench, problemIn } from './backendBench.ts';

const bench = backendBench();
const DPI = 100;
const PX = DPI / 25.4;
/** On the bed, mm. */
const PLACES = [
  [12, 10],
  [46, 12],
] as const;

function laid(): { png: Buffer; strips: readonly TrueStrip[] } {
  const look = { dpi: DPI, pencil: 0.25, tideline: 0.045, travel: 'up', bedMm: 0, widthMm: 18, laneMm: 7 } as const;
  const strips = [11, 12].map((seed) => randomStrip(seed, { dyes: 2, run: 'fresh', look, apart: 0.3 }));
  const heightPx = Math.round(20 * PX) + Math.max(...strips.map(({ raster }) => raster.heightPx)) + Math.round(8 * PX);
  const widthPx = Math.round(80 * PX);
  const light = new Float32Array(3 * widthPx * heightPx).fill(0.03);
  strips.forEach(({ raster }, i) => {
    const [x, y] = PLACES[i].map((mm) => Math.round(mm * PX));
    for (let row = 0; row < raster.heightPx; row++) {
      const part = raster.data.subarray(3 * row * raster.widthPx, 3 * (row + 1) * raster.widthPx);
      light.set(part, 3 * ((y + row) * widthPx + x));
    }
  });
  const samples = Uint16Array.from(light, (v) => Math.round(65535 * coded(Math.min(1, Math.max(0, v)))));
  const perMetre = Math.round(1000 * PX);
  return { png: drawPng({ widthPx, heightPx, samples, bits: 16, pixelsPerMetre: [perMetre, perMetre] }), strips };
}

/** Light as sRGB codes it: what a scan without target or profile is read as. */
function coded(v: number): number {
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}

let ink: number;
let found: StripsOnScan;
let truth: readonly TrueStrip[];

beforeAll(async () => {
  const { png, strips } = laid();
  truth = strips;
  const work = await bench.inkWith({ 'bed.png': png });
  ink = work.ink.id;
  found = await bench.get<StripsOnScan>(`/api/inks/${ink}/scans/bed/strips`);
  // One is enough to be measured.
  for (const { boxMm, travel } of found.strips.slice(0, 1)) {
    const region: SheetRegion = {
      id: 'strip-1',
      scan: 'bed',
      kind: 'strip',
      boxMm: [...boxMm],
      run: 'fresh',
      travel,
      liquid: 'water',
    };
    await bench.posted(`/api/inks/${ink}/edits`, { edit: { edit: 'addRegion', region } });
  }
  const { id } = await bench.posted<{ id: string }>(`/api/inks/${ink}/measure`);
  await bench.host.measuring.ended(id);
}, 120_000);

test('both strips are found where they were laid, with their ends', () => {
  expect(found.strips).toHaveLength(2);
  found.strips.forEach(({ boxMm: [x, y], travel, originMm, frontMm }, i) => {
    expect(travel).toBe('up');
    expect(Math.abs(x + 2.5 - PLACES[i][0])).toBeLessThan(1);
    expect(Math.abs(y + (originMm ?? Number.NaN) - PLACES[i][1] - truth[i].originMm)).toBeLessThan(0.5);
    expect(Math.abs(y + (frontMm ?? Number.NaN) - PLACES[i][1] - truth[i].frontMm)).toBeLessThan(0.5);
  });
});

test('a strip is shown lying, as long as its box, with paper’s white and its bands’ colours in it', async () => {
  const answer = await bench.ask(`/api/inks/${ink}/strips/strip-1/straight?as=1`);
  expect([answer.status, answer.headers.get('content-type')]).toEqual([200, 'image/png']);
  const { data, info } = await sharp(Buffer.from(await answer.arrayBuffer()))
    .raw()
    .toBuffer({ resolveWithObject: true });
  expect(Math.abs(info.width - found.strips[0].boxMm[3] * PX)).toBeLessThan(2);
  expect(info.width).toBeGreaterThan(3 * info.height);
  // The middle row, from the origin to the front: paler and more coloured places.
  const row = data.subarray(3 * info.width * (info.height >> 1), 3 * info.width * ((info.height >> 1) + 1));
  const spread = Array.from({ length: info.width }, (_, x) => {
    const pixel = [...row.subarray(3 * x, 3 * x + 3)];
    return Math.max(...pixel) - Math.min(...pixel);
  });
  expect(Math.max(...spread)).toBeGreaterThan(25);
});

test('a strip laid straight once is not laid again until something of it changes', async () => {
  const { library } = bench.host;
  const picture = async () => (await bench.ask(`/api/inks/${ink}/strips/strip-1/straight`)).arrayBuffer();
  const first = await picture();
  const laid = vi.spyOn(library, 'remember');
  expect(Buffer.from(await picture())).toEqual(Buffer.from(first));
  expect(laid).not.toHaveBeenCalled();
  const region = library.document(ink).regions.find(({ id }) => id === 'strip-1')!;
  const [x, y, width, height] = region.boxMm!;
  library.edit(ink, {
    edit: 'changeRegion',
    id: 'strip-1',
    region: { ...region, boxMm: [x, y, width, height - 2] },
  });
  expect(Buffer.from(await picture())).not.toEqual(Buffer.from(first));
  expect(laid).toHaveBeenCalledOnce();
  laid.mockRestore();
  library.undo(ink);
});

describe('whose dyes lie where', () => {
  test('along its own strip a dye peaks at its own band, at one unit', async () => {
    const answer = await bench.get<DyesAnswer>(`/api/inks/${ink}/strips/strip-1/dyes/strip-1`);
    const detail = await bench.get<RegionDetail>(`/api/inks/${ink}/regions/strip-1/detail`);
    if (answer.is !== 'strip') throw new Error('no strip');
    expect(answer.sameCalibration).toBe(true);
    expect(answer.dyes.map(({ band }) => band)).toEqual(detail.strip?.bands.map(({ band }) => band));
    answer.amounts.forEach((amounts, j) => {
      const centre = detail.strip?.bands[j].centreMm ?? Number.NaN;
      const near = amounts.filter((_, i) => Math.abs(answer.placesMm[i] - centre) < 0.6);
      expect(Math.max(...near)).toBeGreaterThan(0.8);
      expect(Math.max(...near)).toBeLessThan(1.2);
    });
  });

  test('what is no strip, or not measured, is refused in words', async () => {
    const gone = await problemIn(await bench.ask(`/api/inks/${ink}/strips/nowhere/straight`));
    expect([gone.status, gone.code]).toEqual([404, 'no-such-region']);
    const unmeasured = await problemIn(await bench.ask(`/api/inks/${ink}/strips/strip-1/dyes/nowhere`));
    expect([unmeasured.status, unmeasured.code]).toEqual([404, 'not-measured']);
    expect(unmeasured.message).toBe('“nowhere”: not measured as it is now. Measure, then look again.');
  });
});

test('the shelf’s dyes: every band with its conditions; two inks of one name are told apart', async () => {
  const { findings } = await bench.get<FindingsReport>(`/api/inks/${ink}/findings`);
  const bands = findings.filter(({ finding: { quantity, value } }) => quantity === 'bandPosition' && value !== null);
  const alone = await bench.get<ShelfDyes>('/api/dyes');
  expect(alone.strips).toBe(1);
  expect(alone.table.bands).toHaveLength(bands.length);
  expect(alone.inks).toEqual({ 'Harbour Night': ink });
  expect(new Set(alone.table.bands.map(({ strip }) => strip.liquid))).toEqual(new Set(['water']));
  expect(alone.note).toMatch(/^R_F depends on paper, liquid and temperature/);
  const again = bench.host.library.createWork(bench.host.library.document(ink));
  const { inks, strips } = await bench.get<ShelfDyes>('/api/dyes');
  expect(strips).toBe(2);
  expect(Object.values(inks).toSorted((a, b) => a - b)).toEqual([ink, again]);
  expect(Object.keys(inks).toSorted()).toEqual(['Harbour Night (1)', 'Harbour Night (2)']);
});

test('findings are read again for the shelf’s dyes only where an ink has changed', () => {
  const { library } = bench.host;
  const first = shelfDyes(library);
  const read = vi.spyOn(library, 'findings');
  expect(shelfDyes(library)).toEqual(first);
  expect(read).not.toHaveBeenCalled();
  const strip = library.document(ink).regions.find((region) => region.kind === 'strip');
  if (strip?.kind !== 'strip') throw new Error('no strip');
  library.edit(ink, { edit: 'changeRegion', id: strip.id, region: { ...strip, liquid: 'alcohol' } });
  read.mockClear();
  const second = shelfDyes(library);
  expect(read.mock.calls).toEqual([[ink]]);
  read.mockRestore();
  expect(new Set(second.table.bands.map(({ strip: { liquid } }) => liquid))).toEqual(new Set(['alcohol']));
  library.undo(ink);
  expect(shelfDyes(library)).toEqual(first);
});
