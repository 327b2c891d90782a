/**
 * Signs that a file ends before its picture does, from its outline alone. Broken downloads and full disks are the common
 * damage, and they should be told before minutes of work, not in the middle.
 */
import { EndsEarly, withBytes } from './fileBytes.ts';
import type { ReadBytes } from './fileBytes.ts';
import type { ScanInfo } from './scanInfo.ts';
import { tiffDirectory } from './tiffDirectory.ts';

/** Programs hang some bytes of their own behind the end. */
const TAIL = 4096;

/** A sign, not a proof: a sound file with much hung behind its end shows it too. */
export async function looksCutShort(file: string, format: ScanInfo['format']): Promise<boolean> {
  try {
    return await withBytes(file, async (read, size) => {
      if (format === 'tiff') return tiffReachesBeyond(read, size);
      if (format === 'webp') return (await read(4, 4)).readUInt32LE(0) + 8 > size;
      const tail = await read(Math.max(0, size - TAIL), Math.min(size, TAIL));
      return !tail.includes(format === 'png' ? 'IEND' : Buffer.from([0xff, 0xd9]));
    });
  } catch (error) {
    if (error instanceof EndsEarly) return true;
    throw error;
  }
}

async function tiffReachesBeyond(read: ReadBytes, size: number): Promise<boolean> {
  const directory = await tiffDirectory(read);
  if (!directory) return true;
  for (const [offsetTag, countTag] of [
    [273, 279], // strips
    [324, 325], // tiles
  ]) {
    const counts = await directory.numbers(countTag);
    const offsets = await directory.numbers(offsetTag);
    if (offsets.some((offset, i) => offset + (counts[i] ?? 0) > size)) return true;
  }
  return false;
}
