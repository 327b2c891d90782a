/** Whether the pixels of a TIFF are packed in a way that can be read: the header alone opens whichever way it is. */
import { withBytes } from './fileBytes.ts';
import { openImage } from './openImage.ts';
import { ScanError } from './scanError.ts';
import type { ScanInfo } from './scanInfo.ts';
import { tiffDirectory } from './tiffDirectory.ts';

const COMPRESSION = 259;
/** None, LZW, JPEG, deflate under its two numbers, PackBits: what every build of the decoder has. Source: TIFF 6.0 and its supplement 2. */
const ALWAYS_READ = [1, 5, 7, 8, 32946, 32773];
/** Source: TIFF 6.0, its technical notes, and the numbers that libtiff registers. */
const NAMES: Readonly<Record<number, string>> = {
  6: 'the old kind of JPEG',
  33003: 'JPEG 2000',
  33005: 'JPEG 2000',
  34712: 'JPEG 2000',
  34887: 'LERC',
  34925: 'LZMA',
  50000: 'Zstandard',
  50001: 'WebP',
  50002: 'JPEG XL',
};

/** Tries the first pixel of a file that is packed in an unusual way. @throws ScanError 'scan-compression' */
export async function refuseUnknownCompression(file: string, info: ScanInfo): Promise<void> {
  const compression = await withBytes(file, async (read) => (await tiffDirectory(read))?.numbers(COMPRESSION)).catch(
    () => undefined,
  );
  const number = compression?.[0] ?? 1;
  if (ALWAYS_READ.includes(number)) return;
  try {
    await (await openImage(file)).extract({ left: 0, top: 0, width: 1, height: 1 }).raw().toBuffer();
  } catch {
    const name = NAMES[number];
    throw new ScanError(
      'scan-compression',
      `${file}: its pixels are packed as ${name === undefined ? `kind ${number}` : `${name} (kind ${number})`}, which cannot be read here; ` +
        `expected a TIFF without compression, or with LZW, ZIP or PackBits. Save it anew as one of these, or as PNG.`,
      info,
    );
  }
}
