/**
 * Whether the pixels of a TIFF can be read as they are stored: its header alone opens whichever way that is, and the fault would be told minutes later,
 * in the middle of the work.
 */
import { EndsEarly, withBytes } from './fileBytes.ts';
import { openImage } from './openImage.ts';
import { plainTiff } from './plainTiff.ts';
import { damaged } from './refusals.ts';
import { ScanError } from './scanError.ts';
import type { ScanInfo } from './scanInfo.ts';
import { tiffDirectory } from './tiffDirectory.ts';

const COMPRESSION = 259;
const PLANES_APART = { tag: 284, value: 2 } as const;
const TILE_WIDTH = 322;
/** None, LZW, JPEG, deflate under its two numbers, PackBits: what every build of the decoder has. Source: TIFF 6.0 and its supplement 2. */
const ALWAYS_READ = [1, 5, 7, 8, 32946, 32773];
/** Of these, in strips, pixels that cannot be unpacked fail even where complaints are passed over. */
const FAILS_BY_ITSELF = [1, 5, 8, 32946];
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

/**
 * 'odd-tags': only where the decoder's complaints about the tags are passed over. Many programs write such: tags out of order, a date without its end, a
 * fourth channel that is not declared.
 * @throws ScanError 'scan-compression', 'scan-cut-short'
 */
export async function firstPixel(file: string, info: ScanInfo): Promise<'sound' | 'odd-tags'> {
  if ((await plainTiff(file, info)) !== null) return 'sound';
  const strict = await whyNot(file);
  if (strict === null) return 'sound';
  const { compression, tiles, planesApart } = await storage(file);
  if (!ALWAYS_READ.includes(compression)) {
    const name = NAMES[compression];
    throw unreadable(
      `its pixels are packed as ${name === undefined ? `kind ${compression}` : `${name} (kind ${compression})`}`,
      file,
      info,
    );
  }
  if (tiles && planesApart) throw unreadable('its pixels lie in tiles of one colour each', file, info);
  if (!tiles && FAILS_BY_ITSELF.includes(compression) && (await whyNot(file, true)) === null) return 'odd-tags';
  throw damaged(file, 'a TIFF', strict, info);
}

function unreadable(what: string, file: string, info: ScanInfo): ScanError {
  return new ScanError(
    'scan-compression',
    `${file}: ${what}, which cannot be read here; ` +
      `expected a TIFF without compression, or with LZW, ZIP or PackBits. Save it anew as one of these, or as PNG.`,
    info,
  );
}

async function whyNot(file: string, oddTags?: true): Promise<string | null> {
  try {
    await (await openImage(file, oddTags)).extract({ left: 0, top: 0, width: 1, height: 1 }).raw().toBuffer();
    return null;
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

async function storage(file: string): Promise<{ compression: number; tiles: boolean; planesApart: boolean }> {
  try {
    return await withBytes(file, async (read) => {
      const directory = await tiffDirectory(read);
      const first = async (tag: number) => (await directory?.numbers(tag))?.[0];
      return {
        compression: (await first(COMPRESSION)) ?? 1,
        tiles: (await first(TILE_WIDTH)) !== undefined,
        planesApart: (await first(PLANES_APART.tag)) === PLANES_APART.value,
      };
    });
  } catch (error) {
    if (error instanceof EndsEarly) return { compression: 1, tiles: false, planesApart: false };
    throw error;
  }
}
