/** A part of the sample ink in a library of its own: one small page with its target and a strip, quick to measure. */
import { join } from 'node:path';
import { Library } from '../../electron/library/library.ts';
import type { DocumentTarget, InkDocument } from '../../electron/library/document.ts';
import type { Job, WindowEvent } from '../../electron/backend/api.ts';
import type { Measuring } from '../../electron/jobs/measuring.ts';
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
/** The same said to be of the other nib. */
export const M_AS_EF: SheetRegion = { ...M, nib: 'EF' };

export const REGIONS: readonly SheetRegion[] = [
  { id: 'bare', scan: 'yellow', kind: 'paper', boxMm: [12.4, 118.4, 72.1, 20.3] },
  { id: 'ef', scan: 'yellow', kind: 'strokes', boxMm: [5.1, 7.6, 95.2, 22.5], nib: 'EF', nibWidthMm: 0.4 },
  M,
  { id: 'swab', scan: 'yellow', kind: 'swab', boxMm: [7.3, 94.5, 35.2, 16.2] },
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
