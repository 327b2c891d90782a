/**
 * How a worker's thread, or the process that measures, is started: from the TypeScript sources through tsx, as tests and the command line run them, or
 * from the built host, where each worker is a file beside the chunk that this code ended up in (vite.host.config.ts).
 */
const FILES = {
  jobs: { built: './jobs-worker.js', source: './jobs/worker.ts' },
  view: { built: './view-worker.js', source: './view/worker.ts' },
  // A process of its own, with threads of the first kind in it.
  'jobs-process': { built: './jobs-process.js', source: './jobs/jobsProcess.ts' },
} as const;

export function workerThread(worker: 'jobs' | 'view' | 'jobs-process'): {
  readonly filename: string;
  readonly execArgv: string[];
} {
  const here = import.meta.url;
  const { built, source } = FILES[worker];
  if (!here.endsWith('.ts')) return { filename: new URL(built, here).href, execArgv: [] };
  return {
    filename: new URL(source, here).href,
    execArgv: ['--import', import.meta.resolve('tsx')],
  };
}
