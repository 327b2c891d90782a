#!/usr/bin/env node
/**
 * The command line as it was built, built anew when a source has changed since: running what is built spares every thread a second and more
 * of reading sources. With --debug, or where nothing can be built, the sources run as they are.
 */
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { freshen } from './freshen.mjs';

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));

/** @returns {Promise<{ main: (argv: string[]) => Promise<number> }>} */
async function host() {
  const source = new URL('../electron/cli.ts', import.meta.url).href;
  try {
    if (!process.argv.includes('--debug')) {
      await freshen(ROOT, 'host', undefined, (words) => process.stderr.write(`wetline: ${words}\n`));
      return await import(pathToFileURL(join(ROOT, 'dist', 'host', 'cli.js')).href);
    }
  } catch {
    // A folder that may not be written, an installation without what builds, a build that was harmed: no matter to whoever wants to measure.
  }
  const { register } = await import('tsx/esm/api');
  register();
  return await import(source);
}

const { main } = await host();
process.exitCode = await main(process.argv.slice(2));
