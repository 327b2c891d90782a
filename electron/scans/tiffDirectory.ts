/** The first directory of a TIFF or BigTIFF, in either byte order. Source: TIFF 6.0 section 2; the BigTIFF design of libtiff. */
import type { ReadBytes } from './fileBytes.ts';

export interface TiffDirectory {
  has(tag: number): boolean;
  /** The values of a tag, empty when it is not there. Rationals are divided. */
  numbers(tag: number): Promise<number[]>;
  /** The text of a tag; null when it is not there, or is none. */
  text(tag: number): Promise<string | null>;
}

/** Bytes of the types that are read: BYTE, SHORT, LONG, RATIONAL, UNDEFINED, IFD, LONG8, IFD8. */
const SIZES: Readonly<Record<number, number | undefined>> = { 1: 1, 3: 2, 4: 4, 5: 8, 7: 1, 13: 4, 16: 8, 18: 8 };
/** More entries or values than any scanner writes are a damaged file. */
const MOST_ENTRIES = 4096;
const MOST_VALUES = 1_000_000;
/** Longer is no name, and is not read to its end. */
const MOST_LETTERS = 1000;
const ASCII = 2;

/** null: no TIFF at all. @throws EndsEarly */
export async function tiffDirectory(read: ReadBytes): Promise<TiffDirectory | null> {
  const header = await read(0, 8);
  const order = header.toString('latin1', 0, 2);
  if (order !== 'II' && order !== 'MM') return null;
  const uint = (b: Buffer, at: number, bytes: number): number => {
    if (bytes === 8) return Number(order === 'II' ? b.readBigUInt64LE(at) : b.readBigUInt64BE(at));
    return order === 'II' ? b.readUIntLE(at, bytes) : b.readUIntBE(at, bytes);
  };
  const big = uint(header, 2, 2) === 43;
  const word = big ? 8 : 4;
  const start = big ? uint(await read(8, 8), 0, 8) : uint(header, 4, 4);
  const countBytes = big ? 8 : 2;
  const entryBytes = big ? 20 : 12;
  const count = Math.min(uint(await read(start, countBytes), 0, countBytes), MOST_ENTRIES);
  const entries = await read(start + countBytes, count * entryBytes);

  const entryOf = (tag: number): number => {
    for (let at = 0; at < entries.length; at += entryBytes) if (uint(entries, at, 2) === tag) return at;
    return -1;
  };
  return {
    has: (tag) => entryOf(tag) >= 0,
    async numbers(tag) {
      const at = entryOf(tag);
      if (at < 0) return [];
      const type = uint(entries, at + 2, 2);
      const size = SIZES[type];
      const values = uint(entries, at + 4, word);
      if (size === undefined || values > MOST_VALUES) return [];
      const place = at + 4 + word;
      const bytes =
        values * size <= word
          ? entries.subarray(place, place + word)
          : await read(uint(entries, place, word), values * size);
      return Array.from({ length: values }, (_, i) =>
        type === 5 ? uint(bytes, 8 * i, 4) / uint(bytes, 8 * i + 4, 4) : uint(bytes, size * i, size),
      );
    },
    async text(tag) {
      const at = entryOf(tag);
      if (at < 0 || uint(entries, at + 2, 2) !== ASCII) return null;
      const letters = uint(entries, at + 4, word);
      const place = at + 4 + word;
      const bytes =
        letters <= word
          ? entries.subarray(place, place + letters)
          : await read(uint(entries, place, word), Math.min(letters, MOST_LETTERS));
      return bytes.toString('utf8');
    },
  };
}
