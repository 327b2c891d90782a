/**
 * How a worker's thread, or the process that measures, is started: from the built host, where each worker is a file beside the chunk that this
 * code ended up in (vite.host.config.ts), or from the TypeScript sources through tsx, as studies and tests run them.
 */
import { pathToFileURL } from 'node:url';

const FILES = {
  jobs: { built: './jobs-worker.js', source: './jobs/worker.ts' },
  view: { built: './view-worker.js', source: './view/worker.ts' },
  // A process of its own, with threads of the first kind in it.
  'jobs-process': { built: './jobs-process.js', source: './jobs/jobsProcess.ts' },
} as const;

/** Set by whoever has just built the host from these sources (tests/beforeAll.mjs): a thread that reads sources one by one costs a second. */
const BUILT_HOST = 'WETLINE_BUILT_HOST';

export interface HowStarted {
  readonly filename: string;
  readonly execArgv: string[];
}

export function workerThread(worker: keyof typeof FILES): HowStarted {
  const here = import.meta.url;
  const { built, source } = FILES[worker];
  if (!here.endsWith('.ts')) return { filename: new URL(built, here).href, execArgv: [] };
  const folder = process.env[BUILT_HOST];
  if (folder !== undefined) return { filename: new URL(built, pathToFileURL(`${folder}/`)).href, execArgv: [] };
  const filename = new URL(source, here).href;
  return worker === 'jobs-process'
    ? { filename, execArgv: ['--import', import.meta.resolve('tsx')] }
    : sourceThread(filename);
}

/** In threads tsx's own entry reads only what is imported at the start, and its other one also what is imported later. */
export function sourceThread(filename: string): HowStarted {
  const from = JSON.stringify(import.meta.resolve('tsx/esm/api'));
  const hook = `import { register } from ${from}; register();`;
  return { filename, execArgv: ['--import', `data:text/javascript,${encodeURIComponent(hook)}`] };
}
