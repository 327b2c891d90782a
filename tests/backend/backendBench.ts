/** A backend on a library of its own, asked by plain Requests. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import type { Problem, Upload, Work } from '../../electron/backend/api.ts';
import { createBackend } from '../../electron/backend/createBackend.ts';
import type { Host } from '../../electron/backend/host.ts';
import { Measuring } from '../../electron/jobs/measuring.ts';
import { Library } from '../../electron/library/library.ts';
import { View } from '../../electron/view/view.ts';
import { drawPng } from '../host/drawPng.ts';

export interface BackendBench {
  readonly folder: string;
  readonly host: Host;
  /** What nobody foresaw. */
  readonly defects: readonly unknown[];
  ask(path: string, init?: RequestInit): Promise<Response>;
  get<T>(path: string): Promise<T>;
  /** JSON, or bytes as they are. */
  post(path: string, body?: unknown): Promise<Response>;
  posted<T>(path: string, body?: unknown): Promise<T>;
  upload(name: string, bytes: Uint8Array | string): Promise<Upload>;
  /** An ink with these scans in it. */
  inkWith(scans: Readonly<Record<string, Uint8Array>>): Promise<Work>;
}

export function backendBench(change: Partial<Host> = {}): BackendBench {
  const folder = mkdtempSync(join(tmpdir(), 'wetline-backend-'));
  const library = Library.open(join(folder, 'library'));
  const view = new View({ cacheFolder: join(folder, 'cache') });
  const measuring = new Measuring(library, { threads: 1 });
  const defects: unknown[] = [];
  const onDefect = (error: unknown) => void defects.push(error);
  const host: Host = {
    library,
    view,
    measuring,
    shell: 'browser',
    version: '9.9.9',
    assets: null,
    onDefect,
    ...change,
  };
  const backend = createBackend(host);
  afterAll(async () => {
    await Promise.all([measuring.close(), view.close()]);
    library.close();
    rmSync(folder, { recursive: true, force: true });
  });

  const ask = async (path: string, init?: RequestInit) => backend.fetch(new Request(`http://127.0.0.1:1${path}`, init));
  const sound = async (answer: Response): Promise<Response> => {
    if (answer.ok) return answer;
    throw new Error(`${answer.status}: ${await answer.text()}`);
  };
  const post = (path: string, body: unknown = {}) => ask(path, { method: 'POST', body: JSON.stringify(body) });
  const posted = async <T>(path: string, body?: unknown): Promise<T> => {
    return valueIn<T>(await sound(await post(path, body)));
  };
  const upload = async (name: string, bytes: Uint8Array | string): Promise<Upload> => {
    const body = new Blob([typeof bytes === 'string' ? bytes : new Uint8Array(bytes)]);
    const answer = await ask(`/api/uploads?name=${encodeURIComponent(name)}`, { method: 'POST', body });
    return valueIn<Upload>(await sound(answer));
  };
  return {
    folder,
    host,
    defects,
    ask,
    get: async <T>(path: string): Promise<T> => {
      return valueIn<T>(await sound(await ask(path)));
    },
    post,
    posted,
    upload,
    inkWith: async (scans) => {
      const { ink } = await posted<Work>('/api/inks', { name: 'Harbour Night', maker: null });
      const uploads = await Promise.all(Object.entries(scans).map(([name, bytes]) => upload(name, bytes)));
      const { work } = await posted<{ work: Work }>(`/api/inks/${ink.id}/import`, {
        uploads: uploads.map(({ name, hash }) => ({ name, hash })),
      });
      return work;
    },
  };
}

export async function valueIn<T>(answer: Response): Promise<T> {
  const value: T = JSON.parse(await answer.text());
  return value;
}

export async function problemIn(answer: Response): Promise<Problem & { readonly status: number }> {
  return { status: answer.status, ...(await valueIn<Problem>(answer)) };
}

/** 16 bits, 10 pixels a millimetre: white paper with a dark blue swab from (100, 40) to (220, 140). */
export function drawSwab(widthPx = 300, heightPx = 200): Buffer {
  const samples = new Uint16Array(3 * widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const inked = x >= 100 && x < 220 && y >= 40 && y < 140;
      // A little grain, so that nothing is constant.
      const grain = ((x * 37 + y * 91) % 64) - 32;
      const colour = inked ? [11_000, 16_000, 35_000] : [60_001, 59_002, 57_003];
      colour.forEach((value, channel) => (samples[3 * (y * widthPx + x) + channel] = value + grain));
    }
  }
  return drawPng({ widthPx, heightPx, samples, bits: 16, pixelsPerMetre: [10_000, 10_000] });
}
