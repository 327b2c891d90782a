/** Text files as people's programs write them: UTF-8 with or without its mark, or UTF-16 with one. */
import { readFile } from 'node:fs/promises';

export async function readText(file: string): Promise<string> {
  return decodeText(await readFile(file));
}

export function decodeText(bytes: Buffer): string {
  const mark = bytes.toString('hex', 0, 2);
  const encoding = mark === 'fffe' ? 'utf-16le' : mark === 'feff' ? 'utf-16be' : 'utf-8';
  return new TextDecoder(encoding).decode(bytes);
}

/** Why a file could not be opened, in words; null: no reason that a person could do something about. */
export function whyUnreadable(error: unknown): string | null {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ENOENT' || code === 'ENOTDIR') return 'no such file';
  if (code === 'EISDIR') return 'a folder';
  if (code === 'EACCES' || code === 'EPERM') return 'reading is not permitted';
  return null;
}
