import { cpSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, vi } from 'vitest';
import { sampleLibrary } from './sampleLibrary.ts';
import { openBrowser, type Server, startServer, temporaryFolder } from './startWindow.ts';

export interface Running {
  readonly library: string;
  /** A test may end it and put another in its place. */
  server: Server;
  readonly browser: Browser;
}

/** Of all files that run in this process, and goes with it: to start one takes the processor a second. Each window has a profile of its own. */
let browser: Promise<Browser> | null = null;

async function browserOfProcess(): Promise<Browser> {
  const there = await browser;
  if (there?.isConnected() === true) return there;
  browser = openBrowser();
  return browser;
}

/**
 * The program on a library of its own and a browser, for all tests of a file. Machines that test are slow.
 * @param shelf What lies on it: the sample, measured, or nothing yet, as at a first start.
 */
export function running(name: string, shelf: 'sample' | 'empty' = 'sample'): Running {
  vi.setConfig({ testTimeout: 240_000 });
  const library = temporaryFolder(name);
  const bench: { -readonly [K in keyof Running]?: Running[K] } = {};
  beforeAll(async () => {
    if (shelf === 'sample') cpSync(await sampleLibrary(), library.path, { recursive: true });
    bench.server = await startServer(library.path);
    bench.browser = await browserOfProcess();
  });
  afterAll(async () => {
    // Those that a test left open, or did not come to close.
    await Promise.all(bench.browser?.contexts().map((context) => context.close()) ?? []);
    await bench.server?.stop();
    library.remove();
  });
  const there = <T>(thing: T | undefined): T => {
    if (thing === undefined) throw new Error('the program is not running yet');
    return thing;
  };
  return {
    library: library.path,
    get server() {
      return there(bench.server);
    },
    set server(server) {
      bench.server = server;
    },
    get browser() {
      return there(bench.browser);
    },
  };
}
