/** Which files say that their pixels were packed with a loss that does harm. */
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { packedWithLoss } from '../../electron/scans/packedWithLoss.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { withFill } from './fillBytes.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const samples = Uint8Array.from({ length: 600 }, (_, i) => (i * 7) % 256);
const picture = sharp(samples, { raw: { width: 20, height: 10, channels: 3 } });

const jpeg = (chromaSubsampling: string, quality: number): Promise<Buffer> =>
  picture.clone().jpeg({ chromaSubsampling, quality }).toBuffer();

/** The library keeps colours at full resolution from quality 90 on. */
const fineTiffOfJpegs = (): Promise<Buffer> => picture.clone().tiff({ compression: 'jpeg', quality: 95 }).toBuffer();

/** The same file with other steps in all its quantization tables, which lie beside the strips. */
function withSteps(tiff: Buffer, step: number): Buffer {
  const out = Buffer.from(tiff);
  for (let at = out.indexOf('ffdb', 0, 'hex'); at >= 0; at = out.indexOf('ffdb', at + 2, 'hex')) {
    for (let table = at + 4, end = at + 2 + out.readUInt16BE(at + 2); table < end; table += 65) {
      out.fill(step, table + 1, table + 65);
    }
  }
  return out;
}

test('a TIFF of WebPs without loss has none', async () => {
  const lossy = await picture.clone().tiff({ compression: 'webp' }).toBuffer();
  const other = Buffer.from(lossy);
  other.write('VP8L', other.indexOf('VP8 '), 'latin1');
  expect(await packedWithLoss(folder.put('lossless.tif', other), 'tiff')).toBe(false);
});

test('a WebP’s picture is found behind a part of an odd length, which a byte fills up', async () => {
  const webp = await picture.clone().webp().toBuffer();
  const odd = Buffer.from('ODD \x03\0\0\0abc\0', 'latin1');
  const longer = Buffer.concat([webp.subarray(0, 12), odd, webp.subarray(12)]);
  expect(await packedWithLoss(folder.put('odd.webp', longer), 'webp')).toBe(true);
});

test.each<[string, () => Promise<Buffer>, boolean]>([
  ['JPEG', () => picture.clone().jpeg().toBuffer(), true],
  ['JPEG of colours at full resolution', () => jpeg('4:4:4', 80), false],
  ['the same, coarse', () => jpeg('4:4:4', 70), true],
  ['JPEG of colours at half of it', () => jpeg('4:2:0', 100), true],
  ['WebP', () => picture.clone().webp().toBuffer(), true],
  ['WebP without loss', () => picture.clone().webp({ lossless: true }).toBuffer(), false],
  ['WebP with an alpha channel', () => picture.clone().ensureAlpha(0.5).webp().toBuffer(), true],
  ['TIFF of JPEGs', () => picture.clone().tiff({ compression: 'jpeg' }).toBuffer(), true],
  ['TIFF of JPEGs of colours at full resolution', () => fineTiffOfJpegs(), false],
  ['the same, coarse', async () => withSteps(await fineTiffOfJpegs(), 60), true],
  ['TIFF of WebPs', () => picture.clone().tiff({ compression: 'webp' }).toBuffer(), true],
  [
    'TIFF of WebPs in tiles',
    () => picture.clone().tiff({ compression: 'webp', tile: true, tileWidth: 16, tileHeight: 16 }).toBuffer(),
    true,
  ],
  ['JPEG with bytes between its parts', async () => withFill(await jpeg('4:2:0', 100)), true],
  ['TIFF', () => picture.clone().tiff({ compression: 'lzw' }).toBuffer(), false],
  ['PNG', () => picture.clone().png().toBuffer(), false],
])('%s: whether it is packed with loss', async (name, content, lossy) => {
  const info = await scanInfo(folder.put(`packed-${name}`, await content()));
  expect(info.lossy ?? false).toBe(lossy);
  expect(info.notes.some((note) => note.includes('with loss'))).toBe(lossy);
});
