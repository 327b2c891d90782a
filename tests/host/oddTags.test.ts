/** TIFFs whose pixels are sound and whose tags are not quite: many programs write such, and each is read to the last bit. */
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { decodeWhole } from '../../electron/scans/decodeWhole.ts';
import { readScan } from '../../electron/scans/readScan.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { drawTiff } from './drawTiff.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const [widthPx, heightPx] = [60, 40];
const noise = (channels: number): Uint16Array =>
  Uint16Array.from({ length: widthPx * heightPx * channels }, (_, i) => (i * i * 31 + (i >> 3) * 7919) % 65536);
const samples = noise(3);
const packed = await sharp(samples, { raw: { width: widthPx, height: heightPx, channels: 3 } })
  .toColourspace('rgb16')
  .tiff({ compression: 'lzw' })
  .toBuffer();

/** Of a classic little-endian TIFF: where its entries stand, 12 bytes each. */
function entriesOf(tiff: Buffer): Buffer[] {
  const at = tiff.readUInt32LE(4);
  return Array.from({ length: tiff.readUInt16LE(at) }, (_, i) => tiff.subarray(at + 2 + 12 * i, at + 14 + 12 * i));
}

function outOfOrder(tiff: Buffer): Buffer {
  const sick = Buffer.from(tiff);
  const [first, second] = entriesOf(sick);
  const kept = Buffer.from(first);
  second.copy(first);
  kept.copy(second);
  return sick;
}

/** The entry of one tag becomes another's: a text of four letters without the zero at its end, or a value that the standard does not know. */
function withTag(
  tiff: Buffer,
  instead: number,
  tag: number,
  type: number,
  count: number,
  value: string | number,
): Buffer {
  const sick = Buffer.from(tiff);
  const entry = entriesOf(sick).find((e) => e.readUInt16LE(0) === instead);
  if (!entry) throw new Error(`no tag ${instead}`);
  entry.writeUInt16LE(tag, 0);
  entry.writeUInt16LE(type, 2);
  entry.writeUInt32LE(count, 4);
  if (typeof value === 'number') entry.writeUInt32LE(value, 8);
  else entry.write(value, 8, 'latin1');
  return sick;
}

const plain = drawTiff({ widthPx, heightPx, samples, bits: 16, dpi: 600 });
const RESOLUTION_UNIT = 296;

describe('read to the last bit', () => {
  test.each<[string, Buffer]>([
    ['tags out of order', outOfOrder(plain)],
    ['tags out of order, packed', outOfOrder(packed)],
    ['a text without its end', withTag(plain, RESOLUTION_UNIT, 271, 2, 4, 'Tern')],
    ['a text without its end, packed', withTag(packed, RESOLUTION_UNIT, 305, 2, 4, 'Tern')],
    ['an orientation that there is not', withTag(plain, RESOLUTION_UNIT, 274, 3, 1, 0)],
    ['a type that there is not', withTag(plain, RESOLUTION_UNIT, 50_001, 99, 1, 4)],
    ['a value that lies beyond the file', withTag(plain, RESOLUTION_UNIT, 50_001, 2, 400, 0x7fffff00)],
  ])('%s', async (name, content) => {
    const file = folder.put(`${name}.tif`, content);
    const info = await scanInfo(file);
    await expect(decodeWhole(info)).resolves.toBeUndefined();
    const { buffer, byteOffset, byteLength } = (await readScan(file, null, 600, info)).data;
    expect(Buffer.from(buffer, byteOffset, byteLength).equals(Buffer.from(samples.buffer))).toBe(true);
  });

  test('a fourth channel that is not declared', async () => {
    const four = noise(4);
    const file = folder.put('four.tif', drawTiff({ widthPx, heightPx, samples: four, bits: 16, channels: 4 }));
    const { data } = await readScan(file, null, 600);
    expect([...data]).toEqual(Array.from(four.filter((_, i) => i % 4 !== 3)));
  });
});

test('pixels that cannot be unpacked are refused all the same', async () => {
  const sick = outOfOrder(packed);
  sick.fill(0xff, sick.length >> 1, (sick.length >> 1) + 200);
  const sound = await scanInfo(folder.put('sound.tif', outOfOrder(packed)));
  expect(sound.oddTags).toBe(true);
  const file = folder.put('sick.tif', sick);
  const info = { ...sound, file };
  await expect(decodeWhole(info)).rejects.toMatchObject({ code: 'scan-cut-short' });
  await expect(readScan(file, null, 600, info)).rejects.toMatchObject({ code: 'scan-cut-short' });
  await expect(scanInfo(file)).rejects.toMatchObject({ code: 'scan-cut-short' });
});

test('tiles of one colour each are refused at the door, not in the middle of the work', async () => {
  const file = folder.put('tiles.tif', drawTiff({ widthPx, heightPx, samples, bits: 16, planar: true, tilePx: 32 }));
  await expect(scanInfo(file)).rejects.toMatchObject({
    code: 'scan-compression',
    message: expect.stringContaining('its pixels lie in tiles of one colour each, which cannot be read here'),
  });
});
