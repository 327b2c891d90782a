import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { BenchTruth } from '../../sample-scans/generator/bench.ts';

const SAMPLE = join(import.meta.dirname, '../../sample-scans');

/** The truth lies in one file beside each scan; together they are what the generator knows. */
export async function truthBesideScans(): Promise<BenchTruth> {
  const read = async (name: string) => JSON.parse(await readFile(join(SAMPLE, `${name}.truth.json`), 'utf8'));
  const pages = { white: await read('white'), yellow: await read('yellow') };
  const strips = { fresh: await read('strip-fresh'), dried: await read('strip-dried') };
  return { ...(await read('bench')), target: await read('target'), pages, strips };
}
