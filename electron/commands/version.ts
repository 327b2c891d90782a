import { readFile } from 'node:fs/promises';

/** As package.json says; it lies as far above this file as above the one that is built from it (dist/host). */
export async function version(): Promise<string> {
  const text = await readFile(new URL('../../package.json', import.meta.url), 'utf8');
  const { version }: { version: string } = JSON.parse(text);
  return version;
}
