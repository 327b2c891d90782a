/** One rendered bench measured from its files, as the command line would: findings beside the exact truth. */
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import type { JobOptions, MeasureOutcome } from '../electron/jobs/measureSheet.ts';
import { measureWith } from '../electron/jobs/measureSheet.ts';
import { calibrateTarget } from '../electron/jobs/calibrateTarget.ts';
import { findBarePaper } from '../electron/jobs/findBarePaper.ts';
import { fitFilmOf } from '../electron/jobs/fitFilm.ts';
import { measureRegion } from '../electron/jobs/measureRegion.ts';
import type { TaskRunner } from '../electron/jobs/tasks.ts';
import { loadSheet } from '../electron/sheet/sheet.ts';
import { type Bench, renderBench } from '../sample-scans/generator/bench.ts';
import type { BenchOptions } from '../sample-scans/generator/options.ts';

export const inThisThread: TaskRunner = {
  calibrate: calibrateTarget,
  paper: findBarePaper,
  region: measureRegion,
  film: fitFilmOf,
  overlay: () => Promise.reject(new Error('a study draws no pictures')),
};

export async function measureBench(
  seed: number,
  options: BenchOptions,
  job: Pick<JobOptions, 'onRegion'> = {},
): Promise<{ bench: Bench; outcome: MeasureOutcome }> {
  const bench = renderBench(seed, options);
  const dir = await mkdtemp(join(tmpdir(), 'wetline-study-'));
  try {
    return { bench, outcome: await measureIn(dir, bench, job) };
  } finally {
    await rm(dir, { recursive: true, force: true });
  }
}

async function measureIn(dir: string, bench: Bench, job: Pick<JobOptions, 'onRegion'>): Promise<MeasureOutcome> {
  await mkdir(dir, { recursive: true });
  const sheet = JSON.stringify(bench.sheet).replaceAll('.png"', '.tif"');
  await writeFile(join(dir, 'sheet.json'), sheet);
  if (bench.card) {
    await writeFile(join(dir, 'layout.json'), JSON.stringify(bench.card.layout));
    await writeFile(join(dir, 'reference.txt'), bench.card.referenceSpectraText);
  }
  for (const { file, raster } of bench.scans) {
    await sharp(raster.data, { raw: { width: raster.widthPx, height: raster.heightPx, channels: 3 } })
      .toColourspace(raster.bits === 16 ? 'rgb16' : 'srgb')
      .withDensity(raster.dpi)
      .tiff({ compression: 'none' })
      .toFile(join(dir, file.replace('.png', '.tif')));
  }
  return measureWith(inThisThread, await loadSheet(join(dir, 'sheet.json')), job);
}
