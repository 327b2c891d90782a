/** The pictures that the window is sent, written without compression, as any decoder reads them. */
import { inflateSync } from 'node:zlib';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { plainPng } from '../../electron/view/plainPng.ts';

function picture(widthPx: number, heightPx: number): Uint8Array {
  return Uint8Array.from({ length: 3 * widthPx * heightPx }, (_, i) => (i * 151 + (i >> 7) * 37) & 255);
}

// One pixel; a tile, whose rows lie across stored blocks; data of exactly one block, and of a byte more than that.
test.each([
  [1, 1],
  [256, 256],
  [28, 771],
  [21845, 1],
])('%i × %i pixels come back as they were', async (widthPx, heightPx) => {
  const rgb = picture(widthPx, heightPx);
  const png = plainPng(rgb, widthPx, heightPx);
  const { data, info } = await sharp(png, { failOn: 'warning' }).raw().toBuffer({ resolveWithObject: true });
  expect(info).toMatchObject({ width: widthPx, height: heightPx, channels: 3 });
  expect(Buffer.compare(data, rgb)).toBe(0);
});

test('its checksum is that of its rows, and it is no longer than them and what frames them', () => {
  const png = plainPng(picture(256, 256), 256, 256);
  const idat = Buffer.from(png).indexOf('IDAT');
  const length = new DataView(png.buffer).getUint32(idat - 4);
  // inflate refuses a wrong Adler-32.
  expect(inflateSync(png.subarray(idat + 4, idat + 4 + length))).toHaveLength((3 * 256 + 1) * 256);
  expect(png.length).toBeLessThan(3 * 256 * 256 + 256 + 120);
});

test('a smaller picture after a larger one has nothing of it', async () => {
  plainPng(picture(40, 40), 40, 40);
  const rgb = picture(5, 3);
  expect(
    Buffer.compare(
      await sharp(plainPng(rgb, 5, 3))
        .raw()
        .toBuffer(),
      rgb,
    ),
  ).toBe(0);
});
