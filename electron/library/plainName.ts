import { basename } from 'node:path';

/** A file's name without the folders that it lay in, on one line; Windows' separators too: a browser there may send them. */
export function plainName(name: string): string {
  const plain = basename(name.replaceAll('\\', '/'))
    .replaceAll(/\p{Cc}/gu, ' ')
    .trim();
  // Those name folders, wherever a file is written under its name again.
  return plain === '' || plain === '.' || plain === '..' ? 'unnamed' : plain;
}
