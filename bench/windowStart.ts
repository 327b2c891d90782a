/** How long `npm start` takes in the browser: on an empty library, which gets the sample ink, and on one that is there. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import type { Shelf, Work } from '../electron/backend/api.ts';

const START = fileURLToPath(new URL('../bin/start.mjs', import.meta.url));

export interface WindowStart {
  /** Seconds from the start of the process until the window's page was answered, */
  readonly page: number;
  /** and until the sample's first scan was, in its calibrated colours. */
  readonly sample: number;
}

/** @param library Its folder; made when it is not there. */
export async function windowStart(library: string): Promise<WindowStart> {
  await built();
  const from = performance.now();
  const seconds = () => (performance.now() - from) / 1000;
  const { ask, end } = await startProgram(library);
  try {
    await (await ask('/')).text();
    const page = seconds();
    const ink = await firstInk(ask);
    const { scans }: Work = JSON.parse(await (await ask(`/api/inks/${ink}`)).text());
    const picture = await ask(`/api/inks/${ink}/scans/${scans[0].id}/overview/${scans[0].colours.key}`);
    await picture.arrayBuffer();
    if (!picture.ok) throw new Error(`the sample's overview was answered with status ${picture.status}`);
    return { page, sample: seconds() };
  } finally {
    await end();
  }
}

export type Ask = (path: string, request?: RequestInit) => Promise<Response>;

export interface Program {
  readonly pid: number;
  readonly ask: Ask;
  readonly end: () => Promise<void>;
}

/** What is old is built before a clock runs. */
export async function built(): Promise<void> {
  await once(spawn(process.execPath, [START, '--help'], { stdio: 'ignore' }), 'exit');
}

/** `npm start` in the browser shell, and a way to ask it as its window does. */
export async function startProgram(library: string): Promise<Program> {
  const child = spawn(process.execPath, [START, '--no-open', '--library', library], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const end = async (): Promise<void> => {
    const ended = once(child, 'exit');
    child.kill('SIGTERM');
    await ended;
  };
  const address = await addressOf(child.stdout);
  const entry = await fetch(address, { redirect: 'manual' });
  const cookie = entry.headers.getSetCookie()[0].split(';')[0];
  const ask: Ask = (path, request = {}) =>
    fetch(new URL(path, address), { ...request, headers: [...new Headers(request.headers), ['cookie', cookie]] });
  return { pid: child.pid ?? 0, ask, end };
}

function addressOf(output: NodeJS.ReadableStream): Promise<string> {
  let said = '';
  return new Promise((resolve, reject) => {
    output.on('data', (part: Buffer) => {
      said += part.toString();
      const [address] = /http:\/\/127\.0\.0\.1:\d+\/\S+(?=\n)/.exec(said) ?? [];
      if (address !== undefined) resolve(address);
    });
    output.on('end', () => reject(new Error(`the program ended before it gave an address: ${said}`)));
  });
}

/** The sample comes in while the first page is being shown. */
export async function firstInk(ask: Ask): Promise<number> {
  for (;;) {
    const { inks }: Shelf = JSON.parse(await (await ask('/api/shelf')).text());
    if (inks.length > 0) return inks[0].id;
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}
