/** `wetline measure SHEET`: everything that a sheet asks for. */
import { WorkerPool } from '../jobs/pool.ts';
import { oneSheet, readOptions } from './readOptions.ts';
import type { Terminal } from './terminal.ts';

export async function measure(args: readonly string[], terminal: Terminal): Promise<number> {
  const { flags, values, positionals } = readOptions('measure', args, {
    out: 'value',
    csv: 'value',
    curves: 'value',
    overlays: 'value',
    json: 'flag',
    force: 'flag',
    quiet: 'flag',
  });
  const path = oneSheet('measure', positionals);
  // Its threads start while all that reads and writes is loaded, and the sheet read.
  const pool = new WorkerPool();
  try {
    const { measureInto } = await import('./measureInto.ts');
    return await measureInto({ path, flags, values }, pool, terminal);
  } finally {
    await pool.close();
  }
}
