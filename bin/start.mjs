#!/usr/bin/env node
/** `npm start`: builds what is missing or old, then hands over to electron/shells/start.ts as built. */
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { freshen } from './freshen.mjs';
import { stateOf } from './freshness.mjs';

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const say = (/** @type {string} */ line) => process.stdout.write(`${line}\n`);

for (const part of /** @type {const} */ (['window', 'host'])) {
  const began = performance.now();
  try {
    const onBuild = (/** @type {'old' | 'missing'} */ state) =>
      say(`The ${part} ${state === 'missing' ? 'is not built yet' : 'is older than its sources'}: building it …`);
    const isBuilt = await freshen(ROOT, part, onBuild, say);
    if (isBuilt) say(`built in ${((performance.now() - began) / 1000).toFixed(1)} s`);
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    process.stderr.write(`wetline: the ${part} could not be built: ${why}\n`);
    if (stateOf(ROOT, part) === 'missing') process.exit(1);
    say(`Starting with the ${part} as it was built before.`);
  }
}
const { start } = await import(pathToFileURL(join(ROOT, 'dist', 'host', 'start.js')).href);
process.exitCode = await start(process.argv.slice(2), ROOT);
// Whatever still holds the process by then has nothing left to lose: the library is closed.
setTimeout(() => process.exit(), 3000).unref();
