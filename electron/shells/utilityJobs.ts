/** The process that measures, as Electron starts one: a packaged program may not run as plain Node.js. */
import { fileURLToPath } from 'node:url';
import { utilityProcess } from 'electron';
import { ALLOCATOR } from '../jobs/allocator.ts';
import { isAnswer, type JobsProcess } from '../jobs/processMessages.ts';
import { workerThread } from '../workerThread.ts';

export function utilityJobs(threads: number): JobsProcess {
  const { filename } = workerThread('jobs-process');
  const child = utilityProcess.fork(fileURLToPath(filename), [String(threads)], {
    serviceName: 'Wetline measuring',
    env: { ...process.env, ...ALLOCATOR },
    stdio: 'inherit',
  });
  return {
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a process, not a page
    send: (order) => child.postMessage(order),
    onAnswer: (listener) =>
      void child.on('message', (message: unknown) => {
        if (isAnswer(message)) listener(message);
      }),
    onExit: (listener) => void child.once('exit', () => listener()),
    kill: () => void child.kill(),
  };
}
