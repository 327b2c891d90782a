/**
 * A program of its own that works on a library without end, and says on standard output what has been acknowledged:
 * one JSON line each. Killed from outside by killed.test.ts and lock.test.ts.
 */
import { randomFillSync } from 'node:crypto';
import { Library } from '../../electron/library/library.ts';
import { drawPng } from '../host/drawPng.ts';

const [folder, work] = process.argv.slice(2);
const library = Library.open(folder);
const tell = (line: object): void => {
  process.stdout.write(`${JSON.stringify(line)}\n`);
};

async function* scan(): AsyncGenerator<Uint8Array> {
  const samples = randomFillSync(new Uint8Array(3 * 300 * 200));
  const bytes = drawPng({ widthPx: 300, heightPx: 200, samples, pixelsPerMetre: [10_000, 10_000] });
  for (let at = 0; at < bytes.length; at += 16_384) {
    yield bytes.subarray(at, at + 16_384);
    await new Promise((resolve) => setImmediate(resolve));
  }
}

/** A scan, then regions on it: added, moved, taken back, without end. */
async function edit(): Promise<void> {
  const ink = library.createInk({ name: 'Curlew Midnight', maker: null });
  const { hash, name } = await library.addFile(scan(), 'white.png');
  library.edit(ink, { edit: 'addScans', scans: [{ id: 'white', hash, name }] });
  for (let n = 0; ; n++) {
    const id = `r${n}`;
    library.edit(ink, { edit: 'addRegion', region: { id, scan: 'white', kind: 'swab', boxMm: [0, 0, 5, 5] } });
    library.edit(ink, {
      edit: 'changeRegion',
      id,
      region: { id, scan: 'white', kind: 'swab', boxMm: [1, 1, 6, 5], nib: `N${n}` },
    });
    if (n % 3 === 2) library.undo(ink);
    tell({ ink, revision: library.revision(ink), document: library.document(ink) });
    await new Promise((resolve) => setImmediate(resolve));
  }
}

async function bringIn(): Promise<void> {
  for (let n = 0; ; n++) {
    const added = await Promise.all([1, 2].map((k) => library.addFile(scan(), `scan ${n}-${k}.png`)));
    for (const { hash, bytes } of added) tell({ hash, bytes });
  }
}

if (work === 'edit') await edit();
else if (work === 'files') await bringIn();
else {
  library.announce({ url: work });
  tell({ pid: process.pid });
  setInterval(() => undefined, 1000);
}
