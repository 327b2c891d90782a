/** A part of the sample ink in a library of its own: one small page with its target and a strip, quick to measure. */
import { cpSync } from 'node:fs';
import { join } from 'node:path';
import { Library } from '../../electron/library/library.ts';
import type { DocumentTarget, InkDocument } from '../../electron/library/document.ts';
import type { Job, WindowEvent } from '../../electron/backend/api.ts';
import { Measuring } from '../../electron/jobs/measuring.ts';
import type { SheetRegion } from '../../electron/sheet/sheetSchema.ts';

const SAMPLE = join(import.meta.dirname, '../../sample-scans');

const M: SheetRegion = {
  id: 'm',
  scan: 'yellow',
  kind: 'strokes',
  boxMm: [5.2, 32.6, 95.1, 12],
  nib: 'M',
  nibWidthMm: 0.65,
};
/** A few words of it: measured in a third of the time. */
export const SHORT_M: SheetRegion = { ...M, boxMm: [5.2, 32.6, 30.1, 12] };
export const SWAB: SheetRegion = { id: 'swab', scan: 'yellow', kind: 'swab', boxMm: [7.3, 94.5, 35.2, 16.2] };
/** M's said to be of the other nib. */
export const M_AS_EF: SheetRegion = { ...M, nib: 'EF' };

export const REGIONS: readonly SheetRegion[] = [
  { id: 'bare', scan: 'yellow', kind: 'paper', boxMm: [12.4, 118.4, 72.1, 20.3] },
  { id: 'ef', scan: 'yellow', kind: 'strokes', boxMm: [5.1, 7.6, 95.2, 22.5], nib: 'EF', nibWidthMm: 0.4 },
  M,
  SWAB,
  {
    id: 'run',
    scan: 'strip',
    kind: 'strip',
    boxMm: [4.3, 5.3, 18.4, 101.3],
    run: 'dried',
    originMm: 88.3,
    frontMm: 18,
  },
];

/** @param regions Only these. */
export async function smallWork(
  folder: string,
  regions: readonly string[] = REGIONS.map((r) => r.id),
): Promise<{ library: Library; ink: number; target: DocumentTarget }> {
  const library = Library.open(folder);
  const [yellow, strip, card, layout, reference] = await Promise.all(
    ['yellow.png', 'strip-dried.png', 'target.png', 'layout.json', 'reference.txt'].map((name) =>
      library.addFileFrom(join(SAMPLE, name)),
    ),
  );
  const target: DocumentTarget = { scan: 'card', layout: layout.hash, reference: reference.hash };
  const document: InkDocument = {
    ink: { name: 'Curlew Midnight' },
    target,
    scans: [
      { id: 'yellow', hash: yellow.hash, name: 'yellow.png', paper: 'yellow, dyed' },
      { id: 'strip', hash: strip.hash, name: 'strip.png', paper: 'filter paper' },
      { id: 'card', hash: card.hash, name: 'card.png' },
    ],
    regions: REGIONS.filter((r) => regions.includes(r.id)),
  };
  return { library, ink: library.createWork(document), target };
}

/** Only the bare paper is measured, and with it the target and the page: copied and filled, it costs no further test these. */
export async function bareMeasured(folder: string): Promise<void> {
  const { library, ink } = await smallWork(folder, ['bare']);
  const measuring = new Measuring(library, { threads: 1 });
  await measured(measuring, ink);
  await measuring.close();
  library.close();
}

/** A copy of it to which regions are added, none of them measured. */
export function withRegions(
  bare: string,
  folder: string,
  added: readonly SheetRegion[],
): { library: Library; ink: number } {
  cpSync(bare, folder, { recursive: true });
  const library = Library.open(folder);
  const [{ id: ink }] = library.inks();
  for (const region of added) library.edit(ink, { edit: 'addRegion', region });
  return { library, ink };
}

/** Measures to the end. */
export async function measured(measuring: Measuring, ink: number): Promise<Job> {
  const job = await measuring.ended(measuring.start(ink).id);
  if (!job) throw new Error('the job is not remembered');
  return job;
}

/** Resolves at the first event that fits. */
export function heard(measuring: Measuring, fits: (event: WindowEvent) => boolean): Promise<WindowEvent> {
  return new Promise((resolve) => {
    const end = measuring.onEvent((event) => {
      if (!fits(event)) return;
      end();
      resolve(event);
    });
  });
}
