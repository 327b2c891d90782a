/**
 * The window's process while it is asked for the most: a whole A4 page at 600 dpi with the target on it is calibrated and
 * measured, and looked at meanwhile. Its peak memory, worker threads included, is what the bench is after.
 */
import { mkdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { Measuring } from '../electron/jobs/measuring.ts';
import type { SheetRegion } from '../electron/sheet/sheetSchema.ts';
import { Library } from '../electron/library/library.ts';
import { levelsOf, View } from '../electron/view/view.ts';
import { findingsOf } from '../electron/work/findingsOf.ts';
import { viewScan } from '../electron/work/viewScan.ts';
import { workOf } from '../electron/work/workOf.ts';
import { PAGE_HEIGHT_PX, PAGE_WIDTH_PX, pageSamples } from './page.ts';

const SAMPLE = fileURLToPath(new URL('../sample-scans/', import.meta.url));
/** Where the sample's target is laid on the page, px, twice as large as it was scanned at 300 dpi. */
const TARGET_AT = [400, 200] as const;

/** Writes the page with the sample's target on it. */
export async function writeTargetPage(file: string): Promise<void> {
  const page = pageSamples(PAGE_HEIGHT_PX);
  const { data, info } = await sharp(join(SAMPLE, 'target.png'), { ignoreIcc: true })
    .toColourspace('rgb16')
    .raw({ depth: 'ushort' })
    .toBuffer({ resolveWithObject: true });
  const target = new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
  for (let y = 0; y < 2 * info.height; y++) {
    for (let x = 0; x < 2 * info.width; x++) {
      const from = 3 * ((y >> 1) * info.width + (x >> 1));
      const to = 3 * ((TARGET_AT[1] + y) * PAGE_WIDTH_PX + TARGET_AT[0] + x);
      for (let k = 0; k < 3; k++) page[to + k] = target[from + k];
    }
  }
  const raw = { width: PAGE_WIDTH_PX, height: PAGE_HEIGHT_PX, channels: 3 } as const;
  await sharp(page, { raw }).toColourspace('rgb16').withDensity(600).tiff({ compression: 'none' }).toFile(file);
}

/** Bare paper, three nibs' lines, two swabs: what a page of one paper holds. Boxes mm. */
const REGIONS: readonly SheetRegion[] = [
  { id: 'bare', scan: 'page', kind: 'paper', boxMm: [150, 12, 50, 40] },
  { id: 'ef', scan: 'page', kind: 'strokes', boxMm: [8, 120, 190, 24], nib: 'EF', nibWidthMm: 0.4 },
  { id: 'f', scan: 'page', kind: 'strokes', boxMm: [8, 145, 190, 30], nib: 'F', nibWidthMm: 0.6 },
  { id: 'm', scan: 'page', kind: 'strokes', boxMm: [8, 176, 190, 30], nib: 'M', nibWidthMm: 0.8 },
  { id: 'b', scan: 'page', kind: 'strokes', boxMm: [8, 207, 190, 30], nib: 'B', nibWidthMm: 1 },
  { id: 'swab-1', scan: 'page', kind: 'swab', boxMm: [8, 137.5, 190, 7] },
  { id: 'swab-2', scan: 'page', kind: 'swab', boxMm: [8, 258.1, 190, 7] },
];

/** @param page What `writeTargetPage` wrote; a library is made beside it. Returns seconds and the number of findings. */
export async function measureAndLook(page: string): Promise<{ seconds: number; findings: number }> {
  const folder = join(dirname(page), 'measured');
  await mkdir(folder, { recursive: true });
  const library = Library.open(folder);
  const [scan, layout, reference] = await Promise.all(
    [page, join(SAMPLE, 'layout.json'), join(SAMPLE, 'reference.txt')].map((file) => library.addFileFrom(file)),
  );
  const ink = library.createWork({
    ink: { name: 'Bench' },
    target: { scan: 'page', layout: layout.hash, reference: reference.hash },
    scans: [{ id: 'page', hash: scan.hash, name: 'page.tif', paper: 'bright' }],
    regions: REGIONS,
  });
  const measuring = new Measuring(library);
  const view = new View({ cacheFolder: join(folder, 'cache') });
  const from = performance.now();
  const { id } = measuring.start(ink);
  let ended = false;
  const looking = look(library, measuring, view, ink, () => ended);
  const job = await measuring.ended(id);
  ended = true;
  await looking;
  const seconds = (performance.now() - from) / 1000;
  if (job?.state !== 'done') throw new Error(job?.problem ?? 'the job did not end');
  const { findings, problems } = findingsOf(library, ink);
  if (problems.length > 0) throw new Error(problems.map((p) => `${p.region}: ${p.message}`).join('; '));
  await Promise.all([measuring.close(), view.close()]);
  library.close();
  return { seconds, findings: findings.length };
}

/** Overview and tiles all over the page, one after the other, until the measuring has ended. */
async function look(library: Library, measuring: Measuring, view: View, ink: number, isOver: () => boolean) {
  const [{ colours }] = workOf(library, measuring, ink).scans;
  const scan = await viewScan(library, measuring, ink, 'page', colours.key);
  await view.overview(scan);
  const level = levelsOf(PAGE_WIDTH_PX, PAGE_HEIGHT_PX) - 1;
  for (let n = 0; n < 12 || (!isOver() && n < 500); n++) await view.tile(scan, level, (7 * n) % 19, (11 * n) % 27);
}
