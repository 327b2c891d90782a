/**
 * What measuring a sheet gave, kept in a file beside it: the sample's, which the first start takes in instead of measuring.
 * Results are named by all that they depend on (rememberingRunner.ts): one that does not belong here any more is never asked for.
 */
import { readFileSync } from 'node:fs';
import { z } from 'zod';
import type { RememberedResult } from '../library/results.ts';
import { MEASURING_VERSION } from './methodVersions.ts';

const FORMAT = 'wetline-measured/1';

const keptFile = z.strictObject({
  format: z.literal(FORMAT),
  /** The methods that made it. */
  version: z.string(),
  results: z.array(z.strictObject({ key: z.string(), kind: z.string(), base64: z.string() })),
});

export interface KeptMeasuring {
  readonly results: readonly RememberedResult[];
  /** False: other methods made it, and only calibrations are left, which the first picture waits for. */
  readonly isWhole: boolean;
}

/**
 * Null: there is no such file, or it is damaged. A calibration of other methods is taken along all the same: its key holds its own
 * version beside the scan's, the layout's and the reference's content, so that one which is not today's is never asked for.
 */
export function readKeptMeasuring(file: string): KeptMeasuring | null {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch {
    return null;
  }
  const found = keptFile.safeParse(parsed(text));
  if (!found.success) return null;
  const isWhole = found.data.version === MEASURING_VERSION;
  const results = found.data.results.filter(({ kind }) => isWhole || kind === 'calibrate');
  return { isWhole, results: results.map(({ base64, ...one }) => ({ ...one, bytes: Buffer.from(base64, 'base64') })) };
}

/** The text of such a file; results in the order of their keys. */
export function keptMeasuringText(results: readonly RememberedResult[]): string {
  const ordered = results.toSorted((a, b) => (a.key < b.key ? -1 : 1));
  const kept: z.infer<typeof keptFile> = {
    format: FORMAT,
    version: MEASURING_VERSION,
    results: ordered.map(({ key, kind, bytes }) => ({ key, kind, base64: Buffer.from(bytes).toString('base64') })),
  };
  return `${JSON.stringify(kept, null, 2)}\n`;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
