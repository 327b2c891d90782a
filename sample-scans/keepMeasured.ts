/** `npm run samples-measured`: measures the sample anew and keeps what the first start shows at once. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeWhole } from '../electron/files/writeWhole.ts';
import { keptMeasuringText } from '../electron/jobs/keptMeasuring.ts';
import { WorkerPool } from '../electron/jobs/pool.ts';
import type { RememberedResult } from '../electron/library/results.ts';
import { KEPT_FILE, measureSample } from './measureSample.ts';

const results: RememberedResult[] = [];
const store = {
  recall: () => null,
  remember: (key: string, kind: string, bytes: Uint8Array) => void results.push({ key, kind, bytes }),
};
const folder = mkdtempSync(join(tmpdir(), 'wetline-sample-'));
const runner = new WorkerPool();
try {
  const { problems } = await measureSample({ folder, store, runner });
  if (problems.length > 0) throw new Error(`the sample could not be measured whole: ${problems[0].message}`);
} finally {
  await runner.close();
  rmSync(folder, { recursive: true, force: true });
}
await writeWhole(KEPT_FILE, keptMeasuringText(results), { force: true });
console.log(`Written: ${KEPT_FILE} (${results.length} results)`);
