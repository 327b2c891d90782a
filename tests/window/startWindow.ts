/** The whole program as a person starts it, with a browser on its address. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { findBrowser } from './findBrowser.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** Pictures of every page and state, to be looked at; never tracked. */
export const PICTURES = join(ROOT, 'out', 'window');
mkdirSync(PICTURES, { recursive: true });

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
  const child = spawn(
    process.execPath,
    [join(ROOT, 'bin', 'start.mjs'), '--browser', '--no-open', '--library', library, ...options],
    {
      cwd: ROOT,
      stdio: ['ignore', 'pipe', 'pipe'],
    },
  );
  let said = '';
  const url = await new Promise<string>((resolve, reject) => {
    const hear = (chunk: Buffer) => {
      said += chunk.toString();
      const address = /http:\/\/127\.0\.0\.1:\d+\/\S*/.exec(said)?.[0];
      if (address !== undefined) resolve(address);
    };
    child.stdout.on('data', hear);
    child.stderr.on('data', hear);
    child.once('exit', (code) => reject(new Error(`the program ended with ${code} before it gave an address: ${said}`)));
  });
  const ended = async (signal: NodeJS.Signals) => {
    if (child.exitCode !== null || child.signalCode !== null) return;
    const gone = once(child, 'exit');
    child.kill(signal);
    await gone;
  };
  return { url, process: child, said: () => said, kill: () => ended('SIGKILL'), stop: () => ended('SIGTERM') };
}

export async function openBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: findBrowser(),
    args: ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}

export interface OpenedWindow {
  readonly page: Page;
  readonly context: BrowserContext;
  /** What the browser complained about: errors, refused content, pages that threw. */
  readonly complaints: readonly string[];
}

export async function openWindow(
  browser: Browser,
  url: string,
  screen: { width: number; height: number } = SCREENS.small,
): Promise<OpenedWindow> {
  const context = await browser.newContext({ viewport: screen, reducedMotion: 'reduce' });
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(`${message.text()} ${message.location().url}`);
  });
  await page.goto(url);
  return { page, context, complaints };
}

export async function picture(page: Page, name: string): Promise<void> {
  await page.screenshot({ path: join(PICTURES, `${name}.png`) });
}
