/** What a shelf of hundreds of inks takes: the first time after a start, and after an edit of one ink. */
import { ShelfCards } from '../electron/answers/shelfCards.ts';
import { workOf } from '../electron/answers/workOf.ts';
import { Measuring } from '../electron/jobs/measuring.ts';
import { Library } from '../electron/library/library.ts';

export interface ShelfTimes {
  readonly findings: number;
  /** Milliseconds of the processor. */
  readonly first: number;
  /** The edit, the ink's work as it is then, and what changed on the shelf; the median of a few. */
  readonly edit: number;
}

const EDITS = 9;

/** @param folder a library with the measured sample, which is copied until there are `inks` */
export async function shelfTimes(folder: string, inks: number): Promise<ShelfTimes> {
  const library = Library.open(folder);
  const measuring = new Measuring(library);
  try {
    const [{ id: sample }] = library.inks();
    const document = library.document(sample);
    const run = library.findings(sample);
    for (let i = library.inks().length; i < inks; i++) {
      const copy = library.createWork({ ...document, ink: { name: `${document.ink.name} ${i + 1}` } });
      if (run) library.saveRun(copy, run);
    }
    const cards = new ShelfCards(library, measuring);
    let stamp = '';
    const first = await busyMs(async () => {
      const shelf = await cards.shelf();
      ({ stamp } = shelf);
      return JSON.stringify(shelf);
    });
    const edits: number[] = [];
    for (let i = 0; i < EDITS; i++) {
      const changed = await busyMs(async () => {
        library.edit(sample, { edit: 'changeInk', name: `Renamed ${i}`, maker: null });
        const changes = await cards.changesSince(stamp);
        ({ stamp } = changes);
        return JSON.stringify([workOf(library, measuring, sample), changes]);
      });
      edits.push(changed);
    }
    return { findings: run?.findings.length ?? 0, first, edit: edits.toSorted((a, b) => a - b)[EDITS >> 1] };
  } finally {
    await measuring.close();
    library.close();
  }
}

async function busyMs(work: () => Promise<string>): Promise<number> {
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}
