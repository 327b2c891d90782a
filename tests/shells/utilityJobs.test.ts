/** How Electron starts the process that measures, with Electron replaced by what writes down how it is called. */
import { existsSync } from 'node:fs';
import { expect, test, vi } from 'vitest';

const recorded = vi.hoisted(() => ({
  forked: [] as { file: string; args: readonly string[]; env: Record<string, string | undefined> }[],
  sent: [] as unknown[],
  listeners: new Map<string, (value?: unknown) => void>(),
  killed: 0,
}));

vi.mock('electron', () => ({
  utilityProcess: {
    fork: (file: string, args: readonly string[], { env }: { env: Record<string, string | undefined> }) => {
      recorded.forked.push({ file, args, env });
      const on = (name: string, listener: (value?: unknown) => void) => void recorded.listeners.set(name, listener);
      return {
        on,
        once: on,
        postMessage: (message: unknown) => recorded.sent.push(message),
        kill: () => recorded.killed++,
      };
    },
  },
}));

test('orders go in, answers come out, its end is heard, and it ends when told to', async () => {
  const { utilityJobs } = await import('../../electron/shells/utilityJobs.ts');
  const jobs = utilityJobs(2);
  expect(recorded.forked).toHaveLength(1);
  const [{ file, args, env }] = recorded.forked;
  expect(existsSync(file)).toBe(true);
  expect(args).toEqual(['2']);
  expect(env['MALLOC_ARENA_MAX']).toBe('2');

  const answers: unknown[] = [];
  let ended = 0;
  jobs.onAnswer((answer) => answers.push(answer));
  jobs.onExit(() => ended++);
  jobs.send({ id: 1, stop: true });
  expect(recorded.sent).toEqual([{ id: 1, stop: true }]);
  recorded.listeners.get('message')?.({ id: 1, result: 'done' });
  recorded.listeners.get('message')?.('no answer at all');
  expect(answers).toEqual([{ id: 1, result: 'done' }]);
  recorded.listeners.get('exit')?.(9);
  expect(ended).toBe(1);
  jobs.kill();
  expect(recorded.killed).toBe(1);
});
