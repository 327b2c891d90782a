/**
 * `npm run build`: the window (dist/window) and the host of both shells (dist/host), and nothing older beside them.
 * `npm start` builds by itself what is old.
 */
import { mkdirSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { keepStamp, stampOf } from './freshness.mjs';

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
/** A window that is open meanwhile may still ask for a file of the build before. */
const WHILE_OPEN_MS = 2 * 24 * 3600 * 1000;

/**
 * Whole or not at all: built aside, then moved in, pages and entries last.
 * @param {'window' | 'host'} part
 * @param {number} keepOldMs Files of earlier builds stay for so long.
 */
export async function buildPart(part, keepOldMs = WHILE_OPEN_MS) {
  // Whoever starts it (a test, too): what is built is what people use, not the libraries' slow half for developers.
  process.env.NODE_ENV = 'production';
  const { build } = await import('vite');
  const stamp = stampOf(ROOT, part);
  const aside = join(ROOT, 'dist', `.${part}-${process.pid}`);
  const options = { root: part === 'window' ? join(ROOT, 'renderer') : ROOT, logLevel: /** @type {const} */ ('warn') };
  try {
    const outDir = { outDir: aside, emptyOutDir: true };
    await build({ ...options, configFile: join(ROOT, `vite.${part}.config.ts`), build: outDir });
    if (part === 'host') {
      // A sandboxed preload script can only be CommonJS.
      const preload = { ssr: 'electron/shells/preload.ts', outDir: aside, emptyOutDir: false };
      const output = /** @type {const} */ ({ format: 'cjs', entryFileNames: 'preload.cjs' });
      await build({ ...options, configFile: false, build: { ...preload, rolldownOptions: { output } } });
    }
    moveIn(aside, join(ROOT, 'dist', part), keepOldMs);
    keepStamp(ROOT, part, stamp);
  } finally {
    rmSync(aside, { recursive: true, force: true });
  }
}

/** @param {string} from @param {string} to @param {number} keepOldMs */
function moveIn(from, to, keepOldMs) {
  const isEntry = (/** @type {string} */ name) => !/-[\w-]{8}\.\w+$/.test(name);
  const files = readdirSync(from, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(from.length + 1));
  for (const file of files.toSorted((a, b) => Number(isEntry(a)) - Number(isEntry(b)))) {
    mkdirSync(dirname(join(to, file)), { recursive: true });
    renameSync(join(from, file), join(to, file));
  }
  for (const entry of readdirSync(to, { recursive: true, withFileTypes: true })) {
    const path = join(entry.parentPath, entry.name);
    if (!entry.isFile() || files.includes(path.slice(to.length + 1))) continue;
    if (Date.now() - statSync(path).mtimeMs >= keepOldMs) rmSync(path, { force: true });
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  for (const part of /** @type {const} */ (['window', 'host'])) {
    await buildPart(part, 0);
    process.stdout.write(`built dist/${part}\n`);
  }
}
