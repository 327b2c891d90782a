/** The committed scans are what the generator makes today. */
import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import sharp from 'sharp';
import { renderBench } from '../../sample-scans/generator/bench.ts';
import { SAMPLE_OPTIONS, SAMPLE_SEED } from '../../sample-scans/generator/sample.ts';
import { truthFiles } from '../../sample-scans/generator/truthFiles.ts';
import { json } from '../../sample-scans/generator/write.ts';

const folder = join(import.meta.dirname, '..', '..', 'sample-scans');
const bench = renderBench(SAMPLE_SEED, SAMPLE_OPTIONS);
/** One step of the 11-bit converter, delivered in 16 bits. */
const STEP = 33;

describe('the committed sample', () => {
  test.each(bench.scans)('$file holds the pixels rendered now, at 300 dpi and 16 bit', async ({ file, raster }) => {
    const path = join(folder, file);
    const meta = await sharp(path).metadata();
    expect([meta.width, meta.height, meta.density, meta.depth]).toEqual([
      raster.widthPx,
      raster.heightPx,
      300,
      'ushort',
    ]);
    const bytes = await sharp(path, { ignoreIcc: true }).toColourspace('rgb16').raw({ depth: 'ushort' }).toBuffer();
    const committed = new Uint16Array(bytes.buffer, bytes.byteOffset, bytes.length / 2);
    expect(committed.length).toBe(raster.data.length);
    let differing = 0;
    let largest = 0;
    for (let i = 0; i < committed.length; i++) {
      const d = Math.abs(committed[i] - raster.data[i]);
      if (d > 0) differing++;
      if (d > largest) largest = d;
    }
    // On the machine that made them not one differs. Another Node may round an exponential otherwise in its last bit,
    // which can move a value that lay on the edge of a converter step.
    expect(largest).toBeLessThanOrEqual(STEP);
    expect(differing / committed.length).toBeLessThan(1e-5);
  });

  const texts: Record<string, unknown> = {
    'sheet.json': bench.sheet,
    'layout.json': bench.card?.layout,
    ...truthFiles(bench),
  };
  test.each(Object.keys(texts))('%s is what would be written now', (name) => {
    const committed: unknown = JSON.parse(readFileSync(join(folder, name), 'utf8'));
    expect(differences(committed, JSON.parse(json(texts[name])), name)).toEqual([]);
  });

  test('the reference files are what would be written now', () => {
    expect(readFileSync(join(folder, 'reference.txt'), 'utf8')).toBe(bench.card?.referenceText);
    expect(readFileSync(join(folder, 'reference-spectra.txt'), 'utf8')).toBe(bench.card?.referenceSpectraText);
  });

  test('stays small: no scan above 8 MB, 20 MB in all', () => {
    const sizes = bench.scans.map(({ file }) => statSync(join(folder, file)).size);
    expect(Math.max(...sizes)).toBeLessThan(8e6);
    expect(sizes.reduce((a, b) => a + b, 0)).toBeLessThan(20e6);
  });
});

/** Paths at which two JSON values differ, numbers by more than a hundred-thousandth. */
function differences(found: unknown, made: unknown, path: string): string[] {
  if (typeof made === 'number') {
    return Math.abs(Number(found) - made) <= 1e-5 * Math.max(1, Math.abs(made)) ? [] : [path];
  }
  if (typeof made !== 'object' || made === null || typeof found !== 'object' || found === null) {
    return found === made ? [] : [path];
  }
  const other = new Map<string, unknown>(Object.entries(found));
  const own = Object.entries(made);
  const below = own.flatMap(([key, value]) => differences(other.get(key), value, `${path}/${key}`));
  return own.length === other.size ? below : [path, ...below];
}
