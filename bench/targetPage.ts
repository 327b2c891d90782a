/** A whole A4 page at 600 dpi that holds the sample's target. */
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { PAGE_HEIGHT_PX, PAGE_WIDTH_PX, pageSamples } from './page.ts';

const TARGET = fileURLToPath(new URL('../sample-scans/target.png', import.meta.url));
/** Where the sample's target is laid on the page, px, twice as large as it was scanned at 300 dpi. */
const TARGET_AT = [400, 200] as const;

/** Writes the page with the sample's target on it. */
export async function writeTargetPage(file: string): Promise<void> {
  const page = pageSamples(PAGE_HEIGHT_PX);
  const { data, info } = await sharp(TARGET, { ignoreIcc: true })
    .toColourspace('rgb16')
    .raw({ depth: 'ushort' })
    .toBuffer({ resolveWithObject: true });
  const target = new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
  for (let y = 0; y < 2 * info.height; y++) {
    for (let x = 0; x < 2 * info.width; x++) {
      const from = 3 * ((y >> 1) * info.width + (x >> 1));
      const to = 3 * ((TARGET_AT[1] + y) * PAGE_WIDTH_PX + TARGET_AT[0] + x);
      for (let k = 0; k < 3; k++) page[to + k] = target[from + k];
    }
  }
  const raw = { width: PAGE_WIDTH_PX, height: PAGE_HEIGHT_PX, channels: 3 } as const;
  await sharp(page, { raw }).toColourspace('rgb16').withDensity(600).tiff({ compression: 'none' }).toFile(file);
}
