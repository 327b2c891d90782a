/** From what a region's findings were made from to all that was measured of it, for pictures and plots. */
import { deserialize, serialize } from 'node:v8';
import type { BoxPx } from '../scans/readScan.ts';
import { recalledRegion, type ResultStore } from './rememberingRunner.ts';
import type { RegionResult } from './tasks.ts';

interface Measured {
  readonly taskKey: string;
  readonly boxPx: BoxPx;
}

/** Small beside the result itself, which it points to. */
export function rememberMeasured(store: ResultStore, madeFrom: string, measured: Measured): void {
  const key = `measured:${madeFrom}`;
  if (store.recall(key) === null) store.remember(key, 'measured', serialize(measured));
}

/** Null: never measured like this, or the result was thrown away since. */
export async function measuredRegion(
  store: ResultStore,
  madeFrom: string,
): Promise<{ readonly result: RegionResult; readonly boxPx: BoxPx } | null> {
  const bytes = store.recall(`measured:${madeFrom}`);
  const measured: Measured | null = bytes && deserialize(bytes);
  const result = measured && (await recalledRegion(store, measured.taskKey));
  return measured && result && { result, boxPx: measured.boxPx };
}
