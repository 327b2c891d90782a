/** What a JPEG's headers say of its values. Source: ITU-T T.81, B.2.2 and B.2.4.1. */
import type { ReadBytes } from './fileBytes.ts';
import { jpegSegments } from './jpegSegments.ts';

export interface JpegFrame {
  /** Bits of a value. */
  readonly precision: number;
  /** Of each channel: how many of its values lie across and down where the fewest lie once, as one byte. */
  readonly sampling: readonly number[];
  /** Mean step of lightness's quantization table; 0: none stands before the frame. */
  readonly meanStep: number;
}

const TABLES = 0xffdb;

/** null: no frame stands before the picture. @throws EndsEarly */
export async function jpegFrame(read: ReadBytes): Promise<JpegFrame | null> {
  let meanStep = 0;
  for await (const { marker, at, length } of jpegSegments(read)) {
    if (marker === TABLES) meanStep ||= meanOfFirst(await read(at, length));
    if (isFrameHeader(marker)) {
      const frame = await read(at, length);
      return { precision: frame[0], sampling: Array.from({ length: frame[5] }, (_, i) => frame[7 + 3 * i]), meanStep };
    }
  }
  return null;
}

/** Mean step of lightness's table where tables stand by themselves, as those of a TIFF may; 0: none is there. @throws EndsEarly */
export async function jpegTablesStep(read: ReadBytes): Promise<number> {
  for await (const { marker, at, length } of jpegSegments(read)) {
    const step = marker === TABLES ? meanOfFirst(await read(at, length)) : 0;
    if (step > 0) return step;
  }
  return 0;
}

/** The others of these numbers are tables. */
export function isFrameHeader(marker: number): boolean {
  return marker >= 0xffc0 && marker <= 0xffcf && ![0xffc4, 0xffc8, 0xffcc].includes(marker);
}

/** @param tables A segment of quantization tables, of which the first is that of lightness; 8 or 16 bits a step. */
function meanOfFirst(tables: Buffer): number {
  const [bytes, table] = [tables[0] >> 4 === 0 ? 1 : 2, tables[0] & 15];
  if (table !== 0 || tables.length < 1 + 64 * bytes) return 0;
  const steps = Array.from({ length: 64 }, (_, i) => tables.readUIntBE(1 + bytes * i, bytes));
  return steps.reduce((sum, step) => sum + step, 0) / 64;
}
