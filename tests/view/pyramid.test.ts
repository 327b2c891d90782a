/** Levels against plain averaging, how far the light's coding may mislead them, and what is taken for a pyramid. */
import {
  closeSync,
  existsSync,
  mkdirSync,
  openSync,
  readdirSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { halveInLight } from '../../analysis/colour/lightMeans.ts';
import { srgbDecode, srgbEncode } from '../../analysis/colour/srgb.ts';
import { averagedDown } from '../../electron/view/averagedDown.ts';
import type { DeviceSource } from '../../electron/scans/deviceSource.ts';
import { halved, halvingsTo, levelsOf } from '../../electron/view/levels.ts';
import { makePyramid, openPyramid, removeUnfinished } from '../../electron/view/pyramidCache.ts';
import { pyramidBytes, readPyramid, writePyramid } from '../../electron/view/pyramidFile.ts';
import { drawPng } from '../host/drawPng.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import { ASSUMED, drawPixels, type Drawn, viewScan } from './drawScan.ts';

const folder = testFolder();

test.each([
  [1, 1, 1],
  [256, 256, 1],
  [257, 1, 2],
  [512, 511, 2],
  [513, 2, 3],
  [4960, 7016, 6],
  [1, 65536, 9],
])('%i × %i px have %i levels, the first a single tile', (width, height, levels) => {
  expect(levelsOf(width, height)).toBe(levels);
  expect(Math.max(halved(width, levels - 1), halved(height, levels - 1))).toBeLessThanOrEqual(256);
  expect(halvingsTo(256, width, height)).toBe(levels - 1);
});

function sourceOf({ widthPx, heightPx, bits, samples }: Drawn, bandRows: number): DeviceSource {
  return {
    widthPx,
    heightPx,
    bits,
    bandRows,
    read([left, top, width, height]) {
      const out = bits === 8 ? new Uint8Array(3 * width * height) : new Uint16Array(3 * width * height);
      for (let y = 0; y < height; y++) {
        const from = 3 * ((top + y) * widthPx + left);
        out.set(samples.subarray(from, from + 3 * width), 3 * y * width);
      }
      return out;
    },
  };
}

/** The mean of each 2 × 2 of a level, in the light of sRGB, as a 16-bit code that is not rounded. */
function plainHalf(values: ArrayLike<number>, width: number, height: number, top: number): number[] {
  const [w, h] = [Math.ceil(width / 2), Math.ceil(height / 2)];
  return Array.from({ length: 3 * w * h }, (_, i) => {
    const [k, x, y] = [i % 3, Math.floor(i / 3) % w, Math.floor(i / 3 / w)];
    let sum = 0;
    let pixels = 0;
    for (let v = 2 * y; v < Math.min(height, 2 * y + 2); v++) {
      for (let u = 2 * x; u < Math.min(width, 2 * x + 2); u++, pixels++) {
        sum += srgbDecode(values[3 * (v * width + u) + k] / top);
      }
    }
    return 65535 * srgbEncode(sum / pixels);
  });
}

async function written(drawn: Drawn, bandRows: number): Promise<readonly DeviceSource[]> {
  const file = join(folder.path, `levels-${drawn.widthPx}-${drawn.bits}-${bandRows}`);
  const out = openSync(file, 'w');
  await writePyramid(sourceOf(drawn, bandRows), out);
  closeSync(out);
  expect(statSync(file).size).toBe(pyramidBytes(drawn.widthPx, drawn.heightPx));
  return readPyramid(openSync(file, 'r'), drawn.widthPx, drawn.heightPx) ?? [];
}

const all = (level: DeviceSource) => level.read([0, 0, level.widthPx, level.heightPx]);

/** By itself, since a matcher takes seconds for so many values. */
function isSame(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  return a.length === b.length && Array.from(a).every((v, i) => v === b[i]);
}

describe.each([
  [300, 1031, 8],
  [301, 1030, 16],
  [1027, 4, 16],
] as const)('a pyramid of %i × %i px, %i bits', (width, height, bits) => {
  const drawn = drawPixels(7, width, height, bits);

  test('each level is the one above, averaged in light, to a code of 16 bits', async () => {
    const levels = await written(drawn, 64);
    expect(levels.length).toBe(levelsOf(width, height) - 1);
    let above: ArrayLike<number> = drawn.samples;
    let [w, h, top] = [drawn.widthPx, drawn.heightPx, bits === 8 ? 255 : 65535];
    for (const level of levels) {
      const plain = plainHalf(above, w, h, top);
      const values = await all(level);
      expect(values.length).toBe(plain.length);
      expect(plain.reduce((gap, v, i) => Math.max(gap, Math.abs(v - values[i])), 0)).toBeLessThan(0.6);
      [above, w, h, top] = [values, level.widthPx, level.heightPx, 65535];
    }
  });

  test('however its rows come', async () => {
    const one = await written(drawn, 4096);
    for (const bandRows of [2, 7, 66]) {
      const other = await written(drawn, bandRows);
      for (const [i, level] of one.entries()) expect(isSame(await all(other[i]), await all(level))).toBe(true);
    }
  });

  test('a part averaged straight from the pixels is the same part of the level, to two codes of 16 bits', async () => {
    const levels = await written(drawn, 128);
    for (const [i, level] of levels.entries()) {
      const direct = averagedDown(sourceOf(drawn, 37), i + 1);
      // Inside: at an odd edge the levels count the last row and column doubly.
      const box = [0, 0, Math.max(1, level.widthPx - 1), Math.max(1, level.heightPx - 1)] as const;
      const straight = [...(await direct.read(box))];
      const kept = [...(await level.read(box))];
      expect(straight.length).toBe(kept.length);
      expect(straight.reduce((gap, v, n) => Math.max(gap, Math.abs(v - kept[n])), 0)).toBeLessThanOrEqual(2);
    }
  });
});

test('light at the ends: black stays black, white white, a mean of both is half the light', () => {
  const out = new Uint16Array(6);
  halveInLight(Uint16Array.from([0, 0, 0, 0, 0, 0, 65535, 65535, 65535, 65535, 65535, 65535]), 4, 1, out);
  expect([...out]).toEqual([0, 0, 0, 65535, 65535, 65535]);
  halveInLight(Uint8Array.from([0, 0, 0, 255, 255, 255]), 2, 1, out.subarray(0, 3));
  expect([...out.subarray(0, 3)]).toEqual([0, 1, 2].map(() => Math.round(65535 * srgbEncode(0.5))));
});

/**
 * A device that codes light otherwise than sRGB: what the mean of a dark and a light pixel is off, as lightness. Flat areas are exact, soft
 * edges nearly so; this is the worst that a smaller level can show, on a pixel that is half ink and half paper.
 */
test.each([
  ['gamma 2.2', (v: number) => v ** 2.2, 0.6],
  ['gamma 1.8', (v: number) => v ** 1.8, 4.3],
  ['L*', (v: number) => (v > 0.08 ? ((v + 0.16) / 1.16) ** 3 : v / 9.033), 2.5],
])('coded by %s, ink and paper half and half are off by less than the stated L*', (_, decode, most) => {
  const lightness = (Y: number): number => 116 * Math.cbrt(Y) - 16;
  for (const [ink, paper] of [
    [0.2, 0.95],
    [0.4, 0.93],
    [0.05, 0.97],
  ]) {
    const out = new Uint16Array(3);
    const [a, b] = [Math.round(65535 * ink), Math.round(65535 * paper)];
    halveInLight(Uint16Array.from([a, a, a, b, b, b]), 2, 1, out);
    const gap = lightness(decode(out[0] / 65535)) - lightness((decode(ink) + decode(paper)) / 2);
    expect(Math.abs(gap)).toBeLessThan(most);
  }
});

describe('what is kept', () => {
  const scanOf = (name: string) =>
    viewScan(folder.put(`${name}.tif`, drawTiff(drawPixels(6, 400, 700, 16))), name, ASSUMED);
  const places = (at: string): string[] => (existsSync(at) ? readdirSync(at).sort() : []);

  test('a pyramid that was cut short or is another scan’s is not read, but made anew', async () => {
    const cache = join(folder.path, 'broken');
    const scan = await scanOf('short');
    await makePyramid(cache, 1e9, scan);
    expect(await opens(cache, scan)).toBe(true);
    const levels = join(cache, 'short', 'levels');
    truncateSync(levels, statSync(levels).size - 1);
    expect(await opens(cache, scan)).toBe(false);
    expect(places(cache)).toEqual([]);
    mkdirSync(join(cache, 'short'));
    writeFileSync(levels, Buffer.alloc(pyramidBytes(400, 700)));
    expect(await opens(cache, scan)).toBe(false);
    await makePyramid(cache, 1e9, scan);
    expect(await opens(cache, scan)).toBe(true);
  });

  test('what a killed program left unfinished is never a pyramid, and goes', async () => {
    const cache = join(folder.path, 'killed');
    // No process has this number: Linux, macOS and Windows stay below.
    const part = join(cache, 'left.2000000000.x.part');
    mkdirSync(part, { recursive: true });
    writeFileSync(join(part, 'levels'), Buffer.alloc(1000));
    expect(await opens(cache, await scanOf('left'))).toBe(false);
    removeUnfinished(cache);
    expect(places(cache)).toEqual([]);
  });

  test('the cache keeps to its bound: what was not looked at for longest goes first', async () => {
    const cache = join(folder.path, 'bound');
    const scans = [await scanOf('one'), await scanOf('two'), await scanOf('three')];
    const bytes = pyramidBytes(400, 700);
    for (const scan of scans.slice(0, 2)) await makePyramid(cache, 2.5 * bytes, scan);
    for (const name of ['one', 'two']) utimesSync(join(cache, name), 1000, 1000);
    expect(await opens(cache, scans[0])).toBe(true);
    await makePyramid(cache, 2.5 * bytes, scans[2]);
    expect(places(cache)).toEqual(['one', 'three']);
  });

  test('a scan that is larger than the bound is left out, and takes nothing else with it', async () => {
    const cache = join(folder.path, 'small');
    const small = await scanOf('fits');
    await makePyramid(cache, 1.5 * pyramidBytes(400, 700), small);
    const file = folder.put('large.png', drawPng(drawPixels(6, 400, 700, 16)));
    const large = await viewScan(file, 'large', ASSUMED);
    await expect(makePyramid(cache, 1.5 * pyramidBytes(400, 700), large)).rejects.toThrow(/more than/);
    expect(places(cache)).toEqual(['fits']);
  });
});

async function opens(cache: string, scan: Awaited<ReturnType<typeof viewScan>>): Promise<boolean> {
  const pyramid = await openPyramid(cache, scan);
  pyramid?.close();
  return pyramid !== null;
}
