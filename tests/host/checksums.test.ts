/** TIFFs packed by ZIP: damage that the decoder reads on over is told by their own checksums. */
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { breaksChecksums } from '../../electron/scans/checksums.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { tiffDirectory } from '../../electron/scans/tiffDirectory.ts';
import { readFrom } from '../../electron/scans/fileBytes.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const size = { width: 300, height: 200 };
const samples = Uint16Array.from({ length: 3 * size.width * size.height }, (_, i) => (i * i * 31 + (i >> 3)) % 65536);
const packed = (tile: boolean): Promise<Buffer> =>
  sharp(samples, { raw: { ...size, channels: 3 } })
    .toColourspace('rgb16')
    .tiff({ compression: 'deflate', ...(tile && { tile, tileWidth: 64, tileHeight: 64 }) })
    .toBuffer();

/** Where each strip or tile ends, behind the four bytes of its checksum. */
async function ends(tiff: Buffer): Promise<number[]> {
  const directory = await tiffDirectory(readFrom(tiff));
  if (!directory) throw new Error('no TIFF');
  const [offsets, counts] = [await directory.numbers(273), await directory.numbers(279)].some((list) => list.length > 0)
    ? [await directory.numbers(273), await directory.numbers(279)]
    : [await directory.numbers(324), await directory.numbers(325)];
  return offsets.map((offset, i) => offset + counts[i]);
}

const spoilt = (tiff: Buffer, places: readonly number[]): Buffer => {
  const sick = Buffer.from(tiff);
  for (const at of places) sick[at] ^= 0x10;
  return sick;
};

describe.each([
  ['strips', false],
  ['tiles', true],
])('%s', (name, tile) => {
  test('whole ones are read', async () => {
    const file = folder.put(`whole ${name}.tif`, await packed(tile));
    expect(await breaksChecksums(file)).toBe(false);
    expect(await scanInfo(file)).toMatchObject({ widthPx: 300, heightPx: 200 });
  });

  test('one bit of a checksum, or of what it holds, is told in a line', async () => {
    const tiff = await packed(tile);
    const [first] = await ends(tiff);
    for (const back of [2, 400]) {
      const file = folder.put(`spoilt ${name}.tif`, spoilt(tiff, [first - back]));
      await expect(scanInfo(file)).rejects.toMatchObject({
        code: 'scan-cut-short',
        message: expect.stringMatching(/cannot be decoded \(.+\); expected a whole file\. .*copy it again/),
      });
    }
  });
});

test('a program that never counted its checksums is none that damaged the file', async () => {
  const tiff = await packed(true);
  const all = await ends(tiff);
  expect(all.length).toBeGreaterThan(8);
  expect(
    await breaksChecksums(
      folder.put(
        'uncounted.tif',
        spoilt(
          tiff,
          all.map((end) => end - 2),
        ),
      ),
    ),
  ).toBe(false);
  expect(
    await breaksChecksums(
      folder.put(
        'all but one.tif',
        spoilt(
          tiff,
          all.slice(1).map((end) => end - 2),
        ),
      ),
    ),
  ).toBe(true);
});

test('what has none is passed over', async () => {
  const lzw = await sharp(samples, { raw: { ...size, channels: 3 } })
    .toColourspace('rgb16')
    .tiff({ compression: 'lzw' })
    .toBuffer();
  expect(await breaksChecksums(folder.put('lzw.tif', lzw))).toBe(false);
  expect(await breaksChecksums(folder.put('cut.tif', lzw.subarray(0, 6)))).toBe(false);
});
