/** Parts of a file by their place, for readers that need a few bytes of a large one. */
import { open } from 'node:fs/promises';

/** @throws EndsEarly when the bytes are not there */
export type ReadBytes = (offset: number, length: number) => Promise<Buffer>;

export class EndsEarly extends Error {
  override readonly name = 'EndsEarly';
}

export async function withBytes<T>(file: string, work: (read: ReadBytes, size: number) => Promise<T>): Promise<T> {
  const handle = await open(file, 'r');
  try {
    const { size } = await handle.stat();
    return await work(async (offset, length) => {
      // Asked first: a damaged file may claim gigabytes.
      if (offset + length > size) throw new EndsEarly();
      const buffer = Buffer.alloc(length);
      await handle.read(buffer, 0, length, offset);
      return buffer;
    }, size);
  } finally {
    await handle.close();
  }
}

/** The same over bytes that are in memory already. */
export function readFrom(block: Buffer): ReadBytes {
  return (offset, length) =>
    offset + length > block.length
      ? Promise.reject(new EndsEarly())
      : Promise.resolve(block.subarray(offset, offset + length));
}
