/** A PNG part by part. Source: PNG specification, third edition, 5.3. */
import { crc32 } from 'node:zlib';
import { EndsEarly, withBytes } from './fileBytes.ts';
import type { ReadBytes } from './fileBytes.ts';

export interface PngChunk {
  readonly name: string;
  /** Where its content begins, and how long that is. */
  readonly at: number;
  readonly length: number;
}

/** @throws EndsEarly when the file ends before its last chunk */
export async function* pngChunks(read: ReadBytes): AsyncGenerator<PngChunk> {
  for (let at = 8; ;) {
    const head = await read(at, 8);
    const chunk = { name: head.toString('latin1', 4, 8), at: at + 8, length: head.readUInt32BE(0) };
    yield chunk;
    if (chunk.name === 'IEND') return;
    at += 12 + chunk.length;
  }
}

const PIECE_BYTES = 1 << 20;

/** Whether a part that the picture needs (its name begins with a capital) differs from its checksum. What ends early, others tell. */
export async function isDamagedPng(file: string): Promise<boolean> {
  try {
    return await withBytes(file, async (read) => {
      for await (const { name, at, length } of pngChunks(read)) {
        if (!/^[A-Z]/.test(name)) continue;
        let sum = crc32(Buffer.from(name, 'latin1'));
        for (let done = 0; done < length; done += PIECE_BYTES) {
          sum = crc32(await read(at + done, Math.min(PIECE_BYTES, length - done)), sum);
        }
        if (sum !== (await read(at + length, 4)).readUInt32BE(0)) return true;
      }
      return false;
    });
  } catch (error) {
    if (error instanceof EndsEarly) return false;
    throw error;
  }
}
