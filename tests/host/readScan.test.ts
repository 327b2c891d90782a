import { truncateSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import sharp from 'sharp';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { readScan } from '../../electron/scans/readScan.ts';
import { drawIcc } from './drawIcc.ts';
import { drawPng } from './drawPng.ts';
import { drawTiff, drawTiffPages } from './drawTiff.ts';
import type { TiffKind, TiffPage } from './drawTiff.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const icc = drawIcc();

/** 256 × 256 pixels: every one of the 65 536 values once in each channel, in three orders. */
const everyValue = Uint16Array.from({ length: 3 * 65536 }, (_, i) => {
  const pixel = Math.floor(i / 3);
  return [pixel, 65535 - pixel, (pixel * 40503) % 65536][i % 3];
});
const page16: TiffPage = { widthPx: 256, heightPx: 256, samples: everyValue, bits: 16, dpi: 600, icc };

const byte = (i: number): number => (i * 37 + (i >> 5)) % 256;
const bytes = (count: number): Uint8Array => Uint8Array.from({ length: count }, (_, i) => byte(i));

/** Compared as bytes: a matcher that walks 200 000 elements takes half a second. */
function same(found: DeviceRaster, expected: Uint8Array | Uint16Array): boolean {
  return found.data.constructor === expected.constructor && rawBytes(found.data).equals(rawBytes(expected));
}

function rawBytes(a: Uint8Array | Uint16Array): Buffer {
  return Buffer.from(a.buffer, a.byteOffset, a.byteLength);
}

describe('16 bits come through with no bit lost and no profile applied', () => {
  const kinds: [string, Partial<TiffPage>, TiffKind][] = [
    ['one strip', {}, {}],
    ['strips of 7 rows', { rowsPerStrip: 7 }, {}],
    ['strips, big-endian', { rowsPerStrip: 16 }, { littleEndian: false }],
    ['tiles of 64 px', { tilePx: 64 }, {}],
    ['tiles of 48 px that overhang', { tilePx: 48 }, { littleEndian: false }],
    ['planes apart', { planar: true, rowsPerStrip: 32 }, {}],
    ['BigTIFF', { rowsPerStrip: 32 }, { big: true }],
    ['BigTIFF, big-endian, tiles', { tilePx: 64 }, { big: true, littleEndian: false }],
  ];
  test.each(kinds)('TIFF: %s', async (name, page, kind) => {
    const file = folder.put(`${name}.tif`, drawTiff({ ...page16, ...page }, kind));
    const scan = await readScan(file, null, 600);
    expect(scan).toMatchObject({ widthPx: 256, heightPx: 256, bits: 16, dpi: 600, originPx: [0, 0] });
    expect(same(scan, everyValue)).toBe(true);
  });

  test('PNG', async () => {
    const file = folder.put('all.png', drawPng({ widthPx: 256, heightPx: 256, samples: everyValue, bits: 16, icc }));
    expect(same(await readScan(file, null, 600), everyValue)).toBe(true);
  });

  test('a fourth channel is left out and changes nothing, opaque or not', async () => {
    const rgba = Uint16Array.from({ length: 4 * 65536 }, (_, i) =>
      i % 4 === 3 ? i % 65536 : everyValue[3 * Math.floor(i / 4) + (i % 4)],
    );
    const tiff = drawTiff({ ...page16, samples: rgba, channels: 4, extraSamples: [2], rowsPerStrip: 16 });
    const infrared = drawTiff({ ...page16, samples: rgba, channels: 4, extraSamples: [0], rowsPerStrip: 16 });
    const png = drawPng({ widthPx: 256, heightPx: 256, samples: rgba, bits: 16, colourType: 6 });
    for (const [name, content] of Object.entries({ 'a.tif': tiff, 'ir.tif': infrared, 'a.png': png })) {
      expect(same(await readScan(folder.put(name, content), null, 600), everyValue)).toBe(true);
    }
  });
});

describe('8 bits stay 8 bits', () => {
  const samples = bytes(3 * 64 * 48);

  test.each<[string, Partial<TiffPage>]>([
    ['strips', { rowsPerStrip: 5 }],
    ['tiles', { tilePx: 16 }],
  ])('TIFF: %s', async (name, page) => {
    const tiff = drawTiff({ widthPx: 64, heightPx: 48, samples, bits: 8, icc, ...page });
    const scan = await readScan(folder.put(`8-${name}.tif`, tiff), null, 300);
    expect(scan.bits).toBe(8);
    expect(same(scan, samples)).toBe(true);
  });

  test('PNG', async () => {
    const file = folder.put('8.png', drawPng({ widthPx: 64, heightPx: 48, samples, icc }));
    expect(same(await readScan(file, null, 300), samples)).toBe(true);
  });

  test('a palette is expanded to its colours', async () => {
    const palette = [...bytes(3 * 256)];
    const indices = Uint8Array.from({ length: 64 * 48 }, (_, i) => (i * 11) % 256);
    const file = folder.put('p.png', drawPng({ widthPx: 64, heightPx: 48, samples: indices, colourType: 3, palette }));
    const expected = [...indices].flatMap((i) => palette.slice(3 * i, 3 * i + 3));
    expect([...(await readScan(file, null, 300)).data]).toEqual(expected);
  });

  test('WebP without loss', async () => {
    const image = sharp(samples, { raw: { width: 64, height: 48, channels: 3 } });
    const file = folder.put('8.webp', await image.webp({ lossless: true }).toBuffer());
    expect(same(await readScan(file, null, 300), samples)).toBe(true);
  });

  test('JPEG as decoded, its profile not applied', async () => {
    const plain = Uint8Array.from({ length: 3 * 64 * 48 }, (_, i) => [200, 90, 40][i % 3]);
    const image = sharp(plain, { raw: { width: 64, height: 48, channels: 3 } });
    const jpeg = await image.jpeg({ quality: 100, chromaSubsampling: '4:4:4' }).toBuffer();
    const segment = Buffer.concat([
      Buffer.from([0xff, 0xe2, 0, 0]),
      Buffer.from('ICC_PROFILE\0\x01\x01', 'latin1'),
      icc,
    ]);
    segment.writeUInt16BE(segment.length - 2, 2);
    const file = folder.put('icc.jpg', Buffer.concat([jpeg.subarray(0, 2), segment, jpeg.subarray(2)]));
    const { data } = await readScan(file, null, 300);
    const worst = Math.max(...data.map((v, i) => Math.abs(v - plain[i])));
    expect(worst).toBeLessThanOrEqual(2); // quantised at quality 100; the profile would move red by more than 20
  });
});

test('an orientation tag does not turn the scan', async () => {
  const file = folder.put('turned.tif', drawTiff({ ...page16, widthPx: 512, heightPx: 128, orientation: 6 }));
  const scan = await readScan(file, null, 600);
  expect([scan.widthPx, scan.heightPx]).toEqual([512, 128]);
  expect(same(scan, everyValue)).toBe(true);
});

test('of several pages the first is read, whatever the size of the others', async () => {
  const second = { ...page16, widthPx: 8, heightPx: 4, samples: bytes(96), bits: 8 } as const;
  const file = folder.put('pages.tif', drawTiffPages([page16, second]));
  expect(same(await readScan(file, null, 600), everyValue)).toBe(true);
});

describe('a region is the crop of the whole', () => {
  const boxes = [
    [0, 0, 1, 1],
    [255, 255, 1, 1],
    [60, 61, 70, 69],
    [0, 200, 256, 10],
    [250, 3, 6, 250],
  ] as const;
  test.each(['strip', 'tile', 'png', 'jpeg'])('%s', async (kind) => {
    const content =
      kind === 'png'
        ? drawPng({ widthPx: 256, heightPx: 256, samples: everyValue, bits: 16 })
        : kind === 'jpeg'
          ? await sharp(bytes(3 * 65536), { raw: { width: 256, height: 256, channels: 3 } })
              .jpeg()
              .toBuffer()
          : drawTiff({ ...page16, ...(kind === 'tile' ? { tilePx: 64 } : { rowsPerStrip: 9 }) });
    const file = folder.put(`crop-${kind}`, content);
    const whole = await readScan(file, null, 600);
    for (const box of boxes) {
      const part = await readScan(file, box, 600);
      const [x, y, w, h] = box;
      const expected: number[] = [];
      for (let row = y; row < y + h; row++) {
        expected.push(...whole.data.subarray(3 * (row * 256 + x), 3 * (row * 256 + x + w)));
      }
      expect(part.originPx).toEqual([x, y]);
      expect([part.widthPx, part.heightPx]).toEqual([w, h]);
      expect([...part.data]).toEqual(expected);
    }
  });

  test('a box is widened to whole pixels and clipped to the scan', async () => {
    const file = folder.put('clip.tif', drawTiff(page16));
    const part = await readScan(file, [-5, 250.4, 20.2, 40], 600);
    expect(part.originPx).toEqual([0, 250]);
    expect([part.widthPx, part.heightPx]).toEqual([16, 6]);
    expect([...part.data.subarray(0, 3)]).toEqual([...everyValue.subarray(3 * 250 * 256, 3 * 250 * 256 + 3)]);
  });

  test('a box wholly outside is refused', async () => {
    const file = folder.put('out.tif', drawTiff(page16));
    await expect(readScan(file, [300, 0, 10, 10], 600)).rejects.toMatchObject({ code: 'scan-outside' });
  });
});

test('tags that only the scanner’s maker knows do no harm', async () => {
  const privateTags = { 40_000: 'lamp warm', 65_000: 'serial 0', 271: 'Maker' };
  const file = folder.put('private.tif', drawTiff({ ...page16, privateTags }));
  expect(same(await readScan(file, null, 600), everyValue)).toBe(true);
});

test('A4 at 2400 dpi: a corner is read without reading the page', async () => {
  const [widthPx, heightPx] = [19_843, 28_063];
  const header = drawTiff({ widthPx: 1, heightPx: 1, samples: [0, 0, 0] });
  for (const [tag, value] of [
    [256, widthPx],
    [257, heightPx],
    [278, heightPx],
    [279, 3 * widthPx * heightPx],
    [273, header.length],
  ]) {
    const entry = Buffer.from([tag & 255, tag >> 8, 4, 0, 1, 0, 0, 0]);
    header.writeUInt32LE(value, header.indexOf(entry) + 8);
  }
  const file = folder.put('huge.tif', Buffer.concat([header, Buffer.from([1, 2, 3])]));
  truncateSync(file, header.length + 3 * widthPx * heightPx); // zeros that take no room on the disk
  const corner = await readScan(file, [0, 0, 2, 1], 2400);
  expect([...corner.data]).toEqual([1, 2, 3, 0, 0, 0]);
});

test('a scan replaced on disk is read anew', async () => {
  const first = drawPng({ widthPx: 2, heightPx: 1, samples: [1, 2, 3, 4, 5, 6] });
  const file = folder.put('replaced.png', first);
  expect([...(await readScan(file, null, 300)).data]).toEqual([1, 2, 3, 4, 5, 6]);
  folder.put('replaced.png', drawPng({ widthPx: 2, heightPx: 1, samples: [9, 8, 7, 6, 5, 4] }));
  expect([...(await readScan(file, null, 300)).data]).toEqual([9, 8, 7, 6, 5, 4]);
});
