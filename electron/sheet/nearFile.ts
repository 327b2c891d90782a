/** What may have been meant by the name of a file that is not there: other capitals, `.tiff` for `.tif`, a slip of the pen. */
import { readdir } from 'node:fs/promises';
import { basename, dirname } from 'node:path';
import { nearestWord } from '../nearestWord.ts';

/** In a folder of more the search would be felt, and the neighbours are all alike. */
const MOST_NAMES = 2000;

/** A sentence to hang on to a message, or nothing. */
export async function nearFile(file: string): Promise<string> {
  const names: readonly string[] = await readdir(dirname(file)).catch(() => []);
  // One that is there and cannot be read is not meant.
  const others = names.includes(basename(file)) || names.length > MOST_NAMES ? [] : names;
  const near = nearestWord(basename(file), others);
  return near === null ? '' : ` Its folder holds "${near}".`;
}
