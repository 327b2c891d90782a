/**
 * How a worker's thread is started: from the TypeScript sources through tsx, as tests and the command line run them, or
 * from the built host, where each worker is a file beside the chunk that this code ended up in (vite.host.config.ts).
 */
export function workerThread(worker: 'jobs' | 'view'): {
  readonly filename: string;
  readonly execArgv: string[];
} {
  const here = import.meta.url;
  if (!here.endsWith('.ts')) return { filename: new URL(`./${worker}-worker.js`, here).href, execArgv: [] };
  return {
    filename: new URL(`./${worker}/worker.ts`, here).href,
    execArgv: ['--import', import.meta.resolve('tsx')],
  };
}
