/** Starts writer.ts in a process of its own and reads the lines that it tells. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { afterEach } from 'vitest';

export interface Writer {
  /** Every whole line told so far, JSON; all that was acknowledged once `kill` has returned. */
  readonly lines: string[];
  /** Waits until so many lines were told. */
  told(count: number): Promise<void>;
  /** SIGKILL: no chance to clean up. */
  kill(): Promise<void>;
}

const running = new Set<Writer>();
afterEach(async () => {
  await Promise.all([...running].map((writer) => writer.kill()));
});

/** @param work 'edit', 'files', or the address that it announces while it holds the library. */
export function startWriter(folder: string, work: string): Writer {
  const script = fileURLToPath(new URL('writer.ts', import.meta.url));
  const child = spawn(process.execPath, ['--import', 'tsx', script, folder, work], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const lines: string[] = [];
  let faults = '';
  child.stderr.on('data', (part: Buffer) => (faults += part.toString()));
  const reader = createInterface({ input: child.stdout });
  const read = once(reader, 'close');
  const ended = once(child, 'exit');
  reader.on('line', (line) => {
    // The last one may have been cut by the kill.
    if (line.endsWith('}')) lines.push(line);
  });
  const writer: Writer = {
    lines,
    async told(count) {
      while (lines.length < count) {
        if (child.exitCode !== null) throw new Error(`the writer ended by itself: ${faults}`);
        await new Promise((resolve) => setTimeout(resolve, 5));
      }
    },
    async kill() {
      running.delete(writer);
      child.kill('SIGKILL');
      await Promise.all([ended, read]);
    },
  };
  running.add(writer);
  return writer;
}
