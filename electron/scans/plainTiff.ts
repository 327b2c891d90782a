/**
 * A TIFF whose rows lie uncompressed in the file, as scanners write them: read in place, it shows a page in half the time of decoding it,
 * and any part of it at once. Every other file goes through the image library. Source: TIFF 6.0, sections 3, 6 and 8.
 */
import { EndsEarly, withBytes } from './fileBytes.ts';
import type { RowsPlace } from './rows.ts';
import type { ScanInfo } from './scanInfo.ts';
import { tiffDirectory } from './tiffDirectory.ts';

/** null: it is no such TIFF, or not of the size that `info` tells. */
export async function plainTiff(
  file: string,
  info: Pick<ScanInfo, 'widthPx' | 'heightPx' | 'bits'>,
): Promise<Omit<RowsPlace, 'fd'> | null> {
  try {
    return await withBytes(file, async (read, size) => {
      const directory = await tiffDirectory(read);
      if (directory === null) return null;
      const one = async (tag: number, otherwise: number) => (await directory.numbers(tag))[0] ?? otherwise;
      const bits = await directory.numbers(258);
      const isPlain =
        (await one(259, 1)) === 1 && // no compression
        (await one(262, -1)) === 2 && // RGB
        (await one(277, 1)) === 3 &&
        (await one(284, 1)) === 1 && // a pixel's samples side by side
        (await one(266, 1)) === 1 &&
        (await one(339, 1)) === 1 && // whole numbers
        bits.length === 3 &&
        bits.every((b) => b === info.bits);
      if (!isPlain) return null;
      const [widthPx, heightPx] = [await one(256, 0), await one(257, 0)];
      if (widthPx !== info.widthPx || heightPx !== info.heightPx) return null;
      const rowsPerStrip = Math.min(heightPx, await one(278, heightPx));
      const strips = await directory.numbers(273);
      if (!(rowsPerStrip > 0) || strips.length !== Math.ceil(heightPx / rowsPerStrip)) return null;
      const rowBytes = (widthPx * 3 * info.bits) / 8;
      const reaches = (strip: number, i: number): boolean =>
        strip + Math.min(rowsPerStrip, heightPx - i * rowsPerStrip) * rowBytes <= size;
      if (!strips.every(reaches)) return null;
      const swapped = (await read(0, 2)).toString('latin1') === 'MM';
      return { widthPx, heightPx, bits: info.bits, strips, rowsPerStrip, swapped };
    });
  } catch (error) {
    if (error instanceof EndsEarly) return null;
    throw error;
  }
}
