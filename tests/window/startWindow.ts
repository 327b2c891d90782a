/** The whole program as a person starts it, with a browser on its address. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium, type Page, type Request } from 'playwright-core';
import { findHeadlessBrowser } from './findBrowser.ts';
import { program } from './program.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** Where pictures of every page and state go that are to be looked at: taken when asked for, since each takes the processor half a second. */
const PICTURES = process.env.WETLINE_PICTURES;
export const arePicturesTaken = PICTURES !== undefined && PICTURES !== '';

/** The bench's own screen, and a large one. */
export const SCREENS = { small: { width: 1280, height: 800 }, large: { width: 2560, height: 1440 } } as const;

export interface Server {
  /** With the token that lets a browser in. */
  readonly url: string;
  readonly process: ChildProcess;
  readonly said: () => string;
  /** As a power cut would end it: no farewell. */
  readonly kill: () => Promise<void>;
  readonly stop: () => Promise<void>;
}

export function temporaryFolder(name: string): { readonly path: string; readonly remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), `wetline-${name}-`));
  return { path, remove: () => rmSync(path, { recursive: true, force: true, maxRetries: 5 }) };
}

/** `npm start` without Electron and without opening a browser by itself. */
export async function startServer(library: string, ...options: readonly string[]): Promise<Server> {
  const start = join(await program(), 'bin', 'start.mjs');
  const child = spawn(process.execPath, [start, '--browser', '--no-open', '--library', library, ...options], {
    cwd: ROOT,
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  const url = await new Promise<string>((resolve, reject) => {
    const hear = (chunk: Buffer) => {
      said += chunk.toString();
      const address = /http:\/\/127\.0\.0\.1:\d+\/\S*/.exec(said)?.[0];
      if (address !== undefined) resolve(address);
    };
    child.stdout.on('data', hear);
    child.stderr.on('data', hear);
    child.once('exit', (code) =>
      reject(new Error(`the program ended with ${code} before it gave an address: ${said}`)),
    );
  });
  const ended = async (signal: NodeJS.Signals) => {
    if (child.exitCode !== null || child.signalCode !== null) return;
    const gone = once(child, 'exit');
    child.kill(signal);
    await gone;
  };
  return { url, process: child, said: () => said, kill: () => ended('SIGKILL'), stop: () => ended('SIGTERM') };
}

const QUIET = ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--disable-sync'];

/**
 * Pages live for seconds: to compile their scripts twice more for speed took the processor a fifth of all that the window's tests take.
 * The same scripts, only the compilers differ.
 */
const SHORT_LIVED = ['--js-flags=--no-opt --no-maglev', '--num-raster-threads=1'];

export async function openBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: findHeadlessBrowser(), args: [...QUIET, ...SHORT_LIVED] });
}

export interface OpenedWindow {
  readonly page: Page;
  readonly context: BrowserContext;
  /** What the browser complained about: errors, refused content, pages that threw. */
  readonly complaints: readonly string[];
  readonly traffic: Traffic;
}

/** Tiles, overviews and rasters that the page waits for. */
interface Traffic {
  underWay: number;
  lastChange: number;
}

export async function openWindow(
  browser: Browser,
  url: string,
  screen: { width: number; height: number } = SCREENS.small,
): Promise<OpenedWindow> {
  const context = await browser.newContext({ viewport: screen, reducedMotion: 'reduce' });
  context.setDefaultTimeout(20_000);
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    // What a library says to its developers is no part of a build for people.
    const isDevelopment = message.text().includes('React DevTools');
    if (message.type() === 'error' || isDevelopment) complaints.push(`${message.text()} ${message.location().url}`);
  });
  const traffic = watchTraffic(page);
  await page.goto(url);
  return { page, context, complaints, traffic };
}

function watchTraffic(page: Page): Traffic {
  const traffic: Traffic = { underWay: 0, lastChange: Date.now() };
  const count = (by: number) => (request: Request) => {
    if (!/\/(tiles|overview|crop|thumbnail|marks|lab)\b/.test(request.url())) return;
    traffic.underWay += by;
    traffic.lastChange = Date.now();
  };
  page.on('request', count(1));
  page.on('requestfinished', count(-1));
  page.on('requestfailed', count(-1));
  return traffic;
}

/** As a person does: the button, then the system's dialog. @param meanwhile While the dialog is open. */
export async function chooseFiles(
  page: Page,
  files: string | readonly string[],
  meanwhile?: () => Promise<unknown>,
): Promise<void> {
  const [dialog] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: 'Bring scans…' }).click(),
  ]);
  await meanwhile?.();
  await dialog.setFiles(files);
}

/** How long nothing may be asked for before nothing more is taken to come. */
const QUIET_MS = 250;

/** Waits until no picture of a scan is on its way and the page has nothing to do; the event stream stays open, so the network never falls silent. */
export async function pictured({ page, traffic }: OpenedWindow): Promise<void> {
  const limit = Date.now() + 40_000;
  const isQuiet = () => traffic.underWay === 0 && Date.now() - traffic.lastChange >= QUIET_MS;
  do {
    await idle(page);
    if (!isQuiet()) await page.waitForTimeout(50);
  } while (!isQuiet() && Date.now() < limit);
  await idle(page);
}

/** A busy machine's page has drawn what it has, and nothing else to do. */
async function idle(page: Page): Promise<void> {
  // As text: benches that are compiled without a document start windows, too.
  await page.evaluate('new Promise((resolve) => requestIdleCallback(() => resolve(), { timeout: 5000 }))');
}

/** Into the folder that `WETLINE_PICTURES` names, once the page is drawn; without one nothing is taken. */
export async function picture(page: Page, name: string): Promise<void> {
  if (PICTURES === undefined || PICTURES === '') return idle(page);
  mkdirSync(PICTURES, { recursive: true });
  await page.screenshot({ path: join(PICTURES, `${name}.png`) });
}
