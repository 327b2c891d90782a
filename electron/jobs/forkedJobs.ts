/** The process that measures, as a child of Node.js. */
import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { workerThread } from '../workerThread.ts';
import { ALLOCATOR } from './allocator.ts';
import { isAnswer, type JobsProcess } from './processMessages.ts';

export function forkedJobs(threads: number): JobsProcess {
  const { filename, execArgv } = workerThread('jobs-process');
  const child = fork(fileURLToPath(filename), [String(threads)], {
    execArgv,
    env: { ...process.env, ...ALLOCATOR },
    serialization: 'advanced',
    // In a session of its own, so that it can step back as a whole (stepBack.ts). Elsewhere it would only get a window of its own.
    detached: process.platform === 'linux',
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  // A process that could not be started, or that ends while something is sent, is heard of by its exit.
  child.on('error', () => {});
  return {
    send: (order) => void child.send(order, () => {}),
    onAnswer: (listener) =>
      void child.on('message', (message) => {
        if (isAnswer(message)) listener(message);
      }),
    onExit: (listener) => void child.once('close', listener),
    kill: () => void child.kill('SIGKILL'),
  };
}
