import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { xyzD50ToSrgb8 } from '../../analysis/colour/srgb.ts';
import { signalToXyz } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { compiled } from '../../electron/jobs/compiled.ts';
import type { OverlayRegion, OverlayTask } from '../../electron/jobs/tasks.ts';
import { GROUND_DEFAULTS, readGround } from '../../electron/overlays/ground.ts';
import { drawOverlay } from '../../electron/overlays/drawOverlay.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { drawPng } from '../host/drawPng.ts';
import { testFolder } from '../host/folder.ts';
import { pageTask, quantity, strokes, writeScan } from './smallPage.ts';

const folder = testFolder();
const small = await writeScan(folder, 'small.png', [400, 300]);

interface Drawn {
  readonly at: (x: number, y: number) => readonly [number, number, number];
  readonly width: number;
  readonly height: number;
  readonly data: Buffer;
}

async function draw(task: OverlayTask): Promise<Drawn> {
  const { data, info } = await sharp(await drawOverlay(task))
    .raw()
    .toBuffer({ resolveWithObject: true });
  expect(info.channels).toBe(3);
  const at = (x: number, y: number) => {
    const i = 3 * (y * info.width + x);
    return [data[i], data[i + 1], data[i + 2]] as const;
  };
  return { at, width: info.width, height: info.height, data };
}

/** L* 50, a* = b* = 0 in sRGB. */
const SURROUND_CODE = 119;
/** A darker or lighter neutral; nothing that the program adds around a scan is coloured. */
const isNeutral = ([r, g, b]: readonly number[]): boolean => r === g && g === b;

describe('the surround', () => {
  test('is a neutral mid-grey all round, and all chrome beside the page is neutral', async () => {
    let coloured = 0;
    const drawn = await draw(pageTask(small, []));
    const { width, height, data } = drawn;
    const rim = [data.subarray(0, 3 * width), data.subarray(3 * width * (height - 1))];
    for (const row of rim) expect(row.every((v) => v === SURROUND_CODE)).toBe(true);
    // The header and the sides, where there is no pixel of the scan.
    for (let y = 0; y < 60; y++) for (let x = 0; x < width; x++) coloured += Number(!isNeutral(drawn.at(x, y)));
    for (let y = 0; y < height; y++) for (let x = 0; x < 28; x++) coloured += Number(!isNeutral(drawn.at(x, y)));
    expect(coloured).toBe(0);
  });
});

describe('the page', () => {
  test('shows the calibrated colour, not the device value, within one sRGB code', async () => {
    // A scanner whose red and blue are swapped: device values shown as they are would be far off.
    const swapped = {
      ...nominalCalibration,
      model: 'linear' as const,
      judgement: 'good' as const,
      leftOutMedian: 0.5,
      matrix: nominalCalibration.matrix.map(([r, g, b]) => [b, g, r]),
    };
    const c = compiled(swapped);
    const expected = xyzD50ToSrgb8(signalToXyz([c.tables8[0][240], c.tables8[1][238], c.tables8[2][232]], c)).rgb;
    expect(expected[0]).toBeLessThan(235);
    const drawn = await draw(pageTask(small, [], { calibration: swapped }));
    const page = findPage(drawn, expected);
    // The scan is 400 px wide and enlarged twice.
    expect(page.count).toBe(400 * 2 * 280 * 2);
    for (let c = 0; c < 3; c++) expect(Math.abs(drawn.at(page.x, page.y)[c] - expected[c])).toBeLessThanOrEqual(1);
  });

  test('is averaged in linear light: black and white lines give the grey of half the light', async () => {
    const widthPx = 4804;
    const samples = Uint8Array.from({ length: 3 * widthPx * 60 }, (_, i) => (Math.floor(i / 3) % 2 === 0 ? 255 : 0));
    const info = await scanInfo(folder.put('lines.png', drawPng({ widthPx, heightPx: 60, samples })));
    // Three pixels to one: two thirds or one third of the light by turns.
    const drawn = await draw(pageTask(info, []));
    const codes = [1 / 3, 2 / 3].map((Y) => xyzD50ToSrgb8([0.96422 * Y, Y, 0.82521 * Y]).rgb[0]);
    // 1602 cells in 20 rows; a few codes more are met in the edges of letters.
    for (const code of codes) expect(Math.abs(findPage(drawn, [code, code, code]).count - 801 * 20)).toBeLessThan(800);
  });

  test('a scan of many pixels is shown with its longer side at 2400 px at most', async () => {
    const long = await writeScan(folder, 'long.png', [9001, 90]);
    const drawn = await draw(pageTask(long, []));
    expect(drawn.width).toBeGreaterThan(2250);
    expect(drawn.width).toBeLessThan(GROUND_DEFAULTS.longestPx + 200);
  });

  test.each([
    [{}, 2, 800],
    [{ longestPx: 200 }, 0.5, 200],
    [{ longestPx: 150 }, 1 / 3, 134],
    [{ shortestPx: 1200 }, 3, 1200],
    [{ shortestPx: 100 }, 1, 400],
  ])('with %o a scan of 400 px is shown at %d', async (options, scale, widthPx) => {
    const ground = await readGround(small, 100, compiled(nominalCalibration), options);
    expect([ground.scale, ground.picture.widthPx]).toEqual([scale, widthPx]);
  });
});

describe('whatever a sheet may hold', () => {
  test('grows by its cards: none, one, and many regions', async () => {
    const none = await draw(pageTask(small, []));
    const one = await draw(pageTask(small, [strokes('a')]));
    const many = await draw(
      pageTask(
        small,
        Array.from({ length: 16 }, (_, i) => strokes(`a${i}`)),
      ),
    );
    expect(one.width).toBeGreaterThan(none.width + 500);
    expect(many.width * many.height).toBeGreaterThan(4 * (one.width - none.width) * 150);
    // Neither a ribbon nor a tower.
    expect(many.width / many.height).toBeGreaterThan(0.5);
    expect(many.width / many.height).toBeLessThan(3);
  });

  test('an id of 300 signs is shortened, not cut off or laid over other words', async () => {
    const short = await draw(pageTask(small, [strokes('a')]));
    const long = await draw(pageTask(small, [strokes('long id '.repeat(40))], { paper: 'p'.repeat(300) }));
    expect(long.width).toBe(short.width);
    for (let y = 0; y < long.height; y++) expect(long.at(long.width - 29, y)).toSatisfy(isNeutral);
  });

  test('regions without a result, off the scan’s edge, or of a kind not measured are drawn too', async () => {
    const odd: OverlayRegion[] = [
      { id: 'later', kind: 'swipe', nib: null, boxPx: [10, 10, 40, 40], result: null },
      { id: 'edge', kind: 'swab', nib: null, boxPx: [390, 290, 40, 40], result: null },
      {
        id: 'empty',
        kind: 'strokes',
        nib: null,
        boxPx: [100, 100, 50, 50],
        result: {
          id: 'empty',
          quantities: [quantity('inkColour', null, 'Lab', null, { flags: ['no-ink'] })],
          ink: null,
          marks: null,
          spread: null,
          strip: null,
        },
      },
    ];
    const drawn = await draw(pageTask(small, odd));
    expect(drawn.width).toBeGreaterThan(900);
  });

  test('uncalibrated is said in a band of its own', async () => {
    const plain = await draw(pageTask(small, [], { calibration: { ...nominalCalibration, judgement: 'good' } }));
    const marked = await draw(pageTask(small, []));
    expect(marked.height).toBeGreaterThan(plain.height + 25);
  });
});

describe('marks', () => {
  test('leave most of the ink to be seen', async () => {
    const drawn = await draw(pageTask(small, [strokes('a')]));
    const ink = xyzD50ToSrgb8(inkXyz()).rgb;
    // The bar's 20 rows of 400 px, enlarged twice, and its copy in the inset.
    expect(findPage(drawn, ink).count).toBeGreaterThan(0.8 * 400 * 20 * 4);
  });
});

describe('text', () => {
  test('is the same on a machine without fonts, and nothing complains', async () => {
    mkdirSync(join(folder.path, 'nothing'));
    const task = pageTask(small, [strokes('ef-white')]);
    const here = await drawOverlay(task);
    const script =
      `const { drawOverlay } = await import(${JSON.stringify(new URL('../../electron/overlays/drawOverlay.ts', import.meta.url).href)});` +
      `const { strokes, pageTask } = await import(${JSON.stringify(new URL('./smallPage.ts', import.meta.url).href)});` +
      `process.stdout.write(await drawOverlay(pageTask(${JSON.stringify(small)}, [strokes('ef-white')])));`;
    const there = execFileSync(
      process.execPath,
      ['--import', import.meta.resolve('tsx'), '--input-type=module', '-e', script],
      {
        env: {
          PATH: process.env['PATH'] ?? '',
          HOME: join(folder.path, 'nothing'),
          FONTCONFIG_PATH: join(folder.path, 'nothing'),
          FONTCONFIG_FILE: folder.put('fonts.conf', '<?xml version="1.0"?><fontconfig></fontconfig>'),
        },
        stdio: ['ignore', 'pipe', 'pipe'],
        maxBuffer: 1e8,
      },
    );
    expect(there.equals(here)).toBe(true);
  });
});

function inkXyz() {
  const c = compiled(nominalCalibration);
  return signalToXyz([c.tables8[0][30], c.tables8[1][70], c.tables8[2][140]], c);
}

/** Where a colour, within one code, is first met, and how often. */
function findPage(drawn: Drawn, [r, g, b]: readonly number[]): { x: number; y: number; count: number } {
  let first = -1;
  let count = 0;
  const { data } = drawn;
  for (let i = 0; i < data.length; i += 3) {
    if (Math.abs(data[i] - r) > 1 || Math.abs(data[i + 1] - g) > 1 || Math.abs(data[i + 2] - b) > 1) continue;
    if (first < 0) first = i / 3;
    count++;
  }
  return { x: first % drawn.width, y: Math.floor(first / drawn.width), count };
}
