/** Text files as people's programs write them: UTF-8 or UTF-16, with or without a mark at the start. */
import { readFile, stat } from 'node:fs/promises';

/** Texts of the trade are small, a sheet of a thousand regions has 0.2 MB; whatever is larger is an image or nothing for us. */
export const LARGEST_TEXT_BYTES = 20_000_000;

/** What lies there is no text that could be read; the message says what it is instead. */
class NoText extends Error {
  override readonly name = 'NoText';
}

/** @throws NoText, and what the system says; both have their words by `whyUnreadable` */
export async function readText(file: string): Promise<string> {
  // Looked at before it is opened: a pipe would wait for ever, and a device never ends.
  const found = await stat(file);
  if (!found.isFile()) throw new NoText(found.isDirectory() ? 'a folder' : 'no ordinary file');
  if (found.size > LARGEST_TEXT_BYTES)
    throw new NoText(`${Math.round(found.size / 1e6)} MB long, which no text here is`);
  return decodeText(await readFile(file));
}

export function decodeText(bytes: Buffer): string {
  return new TextDecoder(encodingOf(bytes)).decode(bytes);
}

/** Of a file's first bytes. Without a mark a text of Latin letters tells by its zeros: every other byte of UTF-16 is one, none of UTF-8. */
export function encodingOf(bytes: Buffer): 'utf-8' | 'utf-16le' | 'utf-16be' {
  const mark = bytes.toString('hex', 0, 2);
  if (mark === 'fffe') return 'utf-16le';
  if (mark === 'feff') return 'utf-16be';
  const start = bytes.subarray(0, 64);
  const zeros = [0, 1].map((from) => start.filter((byte, i) => i % 2 === from && byte === 0).length);
  const most = 0.4 * start.length;
  if (start.length < 8 || Math.min(...zeros) > 0 || Math.max(...zeros) < most) return 'utf-8';
  return zeros[1] > zeros[0] ? 'utf-16le' : 'utf-16be';
}

/** Why a file could not be opened, in words; null: no reason that a person could do something about. */
export function whyUnreadable(error: unknown): string | null {
  if (error instanceof NoText) return error.message;
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ENOENT' || code === 'ENOTDIR' || code === 'ENAMETOOLONG') return 'no such file';
  if (code === 'ELOOP') return 'a link that leads back to itself';
  if (code === 'EACCES' || code === 'EPERM') return 'reading is not permitted';
  return null;
}
