/** The main job on the committed scans, through the command line as a person runs it: files in, files out, exit code. */
import { execFile } from 'node:child_process';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import sharp from 'sharp';
import { type Row, rowsOf } from '../../study/accuracy.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { truthBesideScans } from './truthBesideScans.ts';

const root = join(import.meta.dirname, '../..');
const golden = join(import.meta.dirname, 'sample-findings.json');
const changed = join(import.meta.dirname, 'sample-findings-changed.json');

interface Findings {
  readonly format: string;
  readonly calibration: {
    readonly judgement: string;
    readonly leftOutMedian: number;
    readonly patches: readonly unknown[];
  };
  readonly findings: readonly Quantity[];
}

let dir: string;
let result: Findings;
let rows: Row[];
let said: { stdout: string; stderr: string };

beforeAll(async () => {
  dir = await mkdtemp(join(tmpdir(), 'wetline-main-'));
  const args = [
    'measure',
    'sample-scans/sheet.json',
    '--out',
    join(dir, 'findings.json'),
    '--csv',
    join(dir, 'findings.csv'),
  ];
  said = await promisify(execFile)('node', ['bin/wetline.mjs', ...args, '--overlays', join(dir, 'overlays')], {
    cwd: root,
  });
  result = JSON.parse(await readFile(join(dir, 'findings.json'), 'utf8'));
  rows = rowsOf(await truthBesideScans(), result.findings);
}, 180_000);

afterAll(() => rm(dir, { recursive: true, force: true }));

test('is silent when nothing is wrong and nobody watches', () => {
  expect(said).toEqual({ stdout: '', stderr: '' });
});

test('the target is good: patches left out are missed by no more than 1 ΔE00 in the median', () => {
  expect(result.format).toBe('wetline-findings/1');
  expect(result.calibration.judgement).toBe('good');
  expect(result.calibration.leftOutMedian).toBeLessThanOrEqual(1);
  expect(result.calibration.patches.length).toBeGreaterThanOrEqual(80);
});

describe('against the truth beside the scans', () => {
  const of = (quantity: string) => {
    const some = rows.filter((r) => r.quantity === quantity);
    expect(some.length).toBeGreaterThan(0);
    for (const row of some) expect(row.error, `${quantity} ${row.regions} is missing`).not.toBeNull();
    return some.map((r) => r.error ?? Infinity);
  };

  // The bounds are those of the accuracy study's tails (docs/study/accuracy.md), not of this one sample.
  test.each([
    ['paperColour', 2],
    ['inkColour', 6],
    ['shading', 1.3],
    ['nibShading', 1.3],
    ['swabVariation', 1.8],
    ['toneShift', 1.8],
    ['bandPosition', 0.005],
    ['originRetained', 2],
    ['bandShare', 3],
    ['bandColour', 5],
  ])('%s is off by no more than %f', (quantity, most) => {
    expect(Math.max(...of(quantity))).toBeLessThanOrEqual(most);
  });

  test('most of it lies within ± 2u', () => {
    const told = rows.filter((r) => r.covered !== null);
    const share = told.reduce((sum, r) => sum + (r.covered ?? 0), 0) / told.length;
    expect(share).toBeGreaterThan(0.9);
  });
});

test('the figures are those kept beside this test, to six digits', async () => {
  const kept: Findings = JSON.parse(await readFile(golden, 'utf8'));
  const now = rounded(result.findings);
  if (JSON.stringify(now) !== JSON.stringify(rounded(kept.findings))) {
    await writeFile(changed, `${JSON.stringify({ ...result, findings: now }, null, 1)}\n`);
  }
  // When a change is meant: look at sample-findings-changed.json, bump the methods concerned, and put it in the old one's place.
  expect(now).toEqual(rounded(kept.findings));
}, 10_000);

test('no number travels without its uncertainty, unit, flags and method', () => {
  for (const q of result.findings) {
    expect(q.method).toMatch(/^[a-zA-Z.]+(?:-film)?\/\d+$/);
    expect(Array.isArray(q.flags)).toBe(true);
    expect(q.unit.length).toBeGreaterThan(0);
    expect(q.u === null, `${q.quantity} ${q.subject.regions.join(' ')}`).toBe(q.value === null);
    expect(q.value !== null || q.flags.length > 0, `${q.quantity} says why it has no value`).toBe(true);
  }
});

test('a row in the CSV for every finding, and a picture for every scan and the target', async () => {
  const csv = (await readFile(join(dir, 'findings.csv'), 'utf8')).trim().split('\n');
  expect(csv).toHaveLength(result.findings.length + 1);
  const pictures = await readdir(join(dir, 'overlays'));
  expect(pictures.toSorted()).toEqual(['strip-dried.png', 'strip-fresh.png', 'target.png', 'white.png', 'yellow.png']);
  for (const name of pictures) {
    const { width, height } = await sharp(join(dir, 'overlays', name)).metadata();
    expect(Math.min(width, height)).toBeGreaterThan(400);
  }
});

function rounded(findings: readonly Quantity[]): unknown {
  return JSON.parse(
    JSON.stringify(findings, (_, v: unknown) => (typeof v === 'number' ? Number(v.toPrecision(6)) : v)),
  );
}
