/**
 * Strips and tiles that are packed by ZIP carry a checksum of what they hold, which the decoder does not look at: damage in the middle of a file, such as a
 * bad block of a disk, would be measured as if it had been scanned. Source: TIFF 6.0, its supplement 2; RFC 1950, section 2.2.
 */
import { promisify } from 'node:util';
import { inflate } from 'node:zlib';
import { EndsEarly, withBytes } from './fileBytes.ts';
import { tiffDirectory } from './tiffDirectory.ts';

const unzip = promisify(inflate);

const COMPRESSION = 259;
const ZIP = [8, 32946];
/** Offsets and byte counts of strips, of tiles. */
const PARTS = [
  [273, 279],
  [324, 325],
] as const;
/** Memory stays small: unpacked, a part has up to a thousand times its bytes. */
const MOST_BYTES = 256e6;
/** So many that are all wrong were written so by a program that does not count them. */
const WRITTEN_SO = 8;

/** Whether some of a TIFF's parts differ from their checksums; false of every file that has none. */
export async function breaksChecksums(file: string): Promise<boolean> {
  try {
    return await withBytes(file, async (read) => {
      const directory = await tiffDirectory(read);
      if (directory === null || !ZIP.includes((await directory.numbers(COMPRESSION))[0])) return false;
      let [parts, broken] = [0, 0];
      for (const [offsetTag, countTag] of PARTS) {
        const counts = await directory.numbers(countTag);
        for (const [i, offset] of (await directory.numbers(offsetTag)).entries()) {
          parts++;
          if (await isBroken(await read(offset, counts[i] ?? 0))) broken++;
        }
      }
      return broken > 0 && !(broken === parts && parts >= WRITTEN_SO);
    });
  } catch (error) {
    if (error instanceof EndsEarly) return false;
    throw error;
  }
}

/** What ends early, or is larger than memory should hold, the decoder tells. */
async function isBroken(part: Buffer): Promise<boolean> {
  try {
    await unzip(part, { maxOutputLength: MOST_BYTES });
    return false;
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'Z_DATA_ERROR';
  }
}
