/**
 * The browser as a person's runs. Root's may raise its threads: on Linux it puts whatever composes the screen 8 steps of nice before the
 * page's own thread, which then gets a seventh of a processor they both want. Nobody else's may, so root gives that right up first.
 */
import { chmodSync, existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';
import { findBrowser } from '../tests/window/findBrowser.ts';

const ARGS = ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
/** Of util-linux, which every Linux has. */
const SETPRIV = ['/usr/bin/setpriv', '/bin/setpriv'];

/** @throws Error in one line when no browser is here */
export async function launchPersonsBrowser(): Promise<Browser> {
  const browser = findBrowser();
  const setpriv = process.getuid?.() === 0 ? SETPRIV.find((path) => existsSync(path)) : undefined;
  if (setpriv === undefined) return chromium.launch({ executablePath: browser, args: ARGS });
  const folder = mkdtempSync(join(tmpdir(), 'persons-browser-'));
  try {
    const starter = join(folder, 'start.sh');
    writeFileSync(
      starter,
      `#!/bin/sh\nexec ${setpriv} --bounding-set=-sys_nice --inh-caps=-sys_nice -- '${browser}' "$@"\n`,
    );
    chmodSync(starter, 0o755);
    return await chromium.launch({ executablePath: starter, args: ARGS });
  } finally {
    // By now the browser has taken the starter's place.
    rmSync(folder, { recursive: true });
  }
}
