import { expect, test } from 'vitest';
import type { Edit } from '../../electron/library/document.ts';
import type { Library, LibraryChange } from '../../electron/library/library.ts';
import { testFolder } from '../host/folder.ts';
import { closeLibrary, openLibrary, smallLibrary } from './smallLibrary.ts';

const folder = testFolder();

function moved(library: Library, ink: number, id: string, change: object): Extract<Edit, { edit: 'changeRegion' }> {
  const region = library.document(ink).regions.find((r) => r.id === id);
  if (!region) throw new Error(id);
  return { edit: 'changeRegion', id, region: { ...region, ...change } };
}
const boxOf = (library: Library, ink: number, id: string) =>
  library.document(ink).regions.find((r) => r.id === id)?.boxMm;

test('steps are taken back and done again, in words, also after the library was closed', async () => {
  const { library, ink } = await smallLibrary(folder);
  const states = [library.document(ink)];
  const steps: Edit[] = [
    moved(library, ink, 'ef', { boxMm: [0, 9, 40, 20] }),
    { edit: 'changeScan', id: 'white', change: { id: 'page', paper: null } },
    { edit: 'removeScan', id: 'strip' },
    { edit: 'setTarget', serves: 'all', target: null },
    { edit: 'changeInk', name: 'Sanderling', maker: null, claim: 'dark grey' },
  ];
  for (const step of steps) {
    library.edit(ink, step);
    states.push(library.document(ink));
  }
  expect(library.history(ink)).toMatchObject({ undo: 'rename the ink to “Sanderling”', redo: null });
  expect(library.undo(ink)).toBe('rename the ink to “Sanderling”');
  closeLibrary(library);

  const again = openLibrary(library.folder);
  expect(again.document(ink)).toEqual(states[4]);
  expect(again.history(ink)).toMatchObject({ undo: 'take the target away', redo: 'rename the ink to “Sanderling”' });
  for (let i = 3; i >= 0; i--) {
    again.undo(ink);
    expect(again.document(ink)).toEqual(states[i]);
  }
  expect(again.undo(ink)).toBeNull();
  expect(again.history(ink)).toMatchObject({ undo: null, redo: 'move region “ef”' });
  for (let i = 1; i <= 5; i++) {
    again.redo(ink);
    expect(again.document(ink)).toEqual(states[i]);
  }
  expect(again.redo(ink)).toBeNull();
  expect(again.inks()[0]).toMatchObject({ name: 'Sanderling', maker: null });
});

test('an edit after an undo drops what could have been done again', async () => {
  const { library, ink } = await smallLibrary(folder);
  library.edit(ink, { edit: 'removeRegions', ids: ['ef'] });
  library.undo(ink);
  library.edit(ink, { edit: 'removeRegions', ids: ['bare'] });
  expect(library.history(ink)).toMatchObject({ undo: 'remove region “bare”', redo: null });
  expect(library.redo(ink)).toBeNull();
  expect(library.document(ink).regions.map((r) => r.id)).toEqual(['ef', 'run']);
});

test('nudging is one step: moves of one region within a second of each other', async () => {
  let now = Date.UTC(2026, 0, 1);
  const { library, ink } = await smallLibrary(folder, () => now);
  const start = boxOf(library, ink, 'bare');
  const nudge = (id: string, x: number, after: number) => {
    now += after;
    library.edit(ink, moved(library, ink, id, { boxMm: [x, 0, 10, 10] }));
  };
  nudge('bare', 1, 0);
  nudge('bare', 2, 900);
  nudge('bare', 3, 900);
  expect(library.undo(ink)).toBe('move region “bare”');
  expect(boxOf(library, ink, 'bare')).toEqual(start);
  expect(library.history(ink).undo).toBeNull();

  library.redo(ink);
  expect(boxOf(library, ink, 'bare')).toEqual([3, 0, 10, 10]);
  nudge('bare', 4, 1001);
  library.undo(ink);
  expect(boxOf(library, ink, 'bare')).toEqual([3, 0, 10, 10]);
  // A clock that was set back tells nothing of how long ago the last was.
  nudge('bare', 5, 0);
  nudge('bare', 6, -3_600_000);
  library.undo(ink);
  expect(boxOf(library, ink, 'bare')).toEqual([5, 0, 10, 10]);
});

test('regions that are moved together go back together', async () => {
  const { library, ink } = await smallLibrary(folder, () => Date.UTC(2026, 0, 1));
  const before = library.document(ink);
  const together = ['bare', 'ef'];
  library.edit(ink, { ...moved(library, ink, 'bare', { boxMm: [1, 0, 10, 10] }), together });
  library.edit(ink, { ...moved(library, ink, 'ef', { boxMm: [0, 9, 40, 20] }), together });
  library.edit(ink, { ...moved(library, ink, 'bare', { boxMm: [2, 0, 10, 10] }), together });
  expect(library.undo(ink)).toBe('move 2 regions');
  expect(library.document(ink)).toEqual(before);
});

test('a resize, another region or an undo in between makes a step of its own', async () => {
  const { library, ink } = await smallLibrary(folder, () => Date.UTC(2026, 0, 1));
  library.edit(ink, moved(library, ink, 'bare', { boxMm: [1, 0, 10, 10] }));
  library.edit(ink, moved(library, ink, 'bare', { boxMm: [1, 0, 12, 10] }));
  library.edit(ink, moved(library, ink, 'ef', { boxMm: [0, 9, 40, 20] }));
  library.edit(ink, moved(library, ink, 'bare', { boxMm: [2, 0, 12, 10] }));
  const undone = [library.undo(ink), library.undo(ink), library.undo(ink)];
  expect(undone).toEqual(['move region “bare”', 'move region “ef”', 'resize region “bare”']);
  library.edit(ink, moved(library, ink, 'bare', { boxMm: [5, 0, 10, 10] }));
  library.undo(ink);
  expect(boxOf(library, ink, 'bare')).toEqual([1, 0, 10, 10]);
});

test('a region nudged back to where it was leaves no step', async () => {
  const { library, ink } = await smallLibrary(folder, () => Date.UTC(2026, 0, 1));
  const start = boxOf(library, ink, 'bare');
  library.edit(ink, moved(library, ink, 'bare', { boxMm: [1, 0, 10, 10] }));
  library.edit(ink, moved(library, ink, 'bare', { boxMm: start }));
  expect(library.history(ink)).toMatchObject({ undo: null, redo: null });
});

test('every committed change is told, with a revision that grows; what is refused changes nothing', async () => {
  const { library, ink } = await smallLibrary(folder);
  const told: LibraryChange[] = [];
  const stop = library.onChange((change) => told.push(change));
  const first = library.revision(ink);
  library.edit(ink, { edit: 'removeRegions', ids: ['ef'] });
  library.undo(ink);
  library.redo(ink);
  const before = library.document(ink);
  expect(() => library.edit(ink, { edit: 'removeRegions', ids: ['ef'] })).toThrow(/no region “ef”/);
  library.edit(ink, { edit: 'changeInk', name: 'Harbour Night', maker: 'Quill & Tide' });
  expect(library.document(ink)).toEqual(before);
  library.removeInk(ink);
  stop();
  library.restoreInk(ink);
  expect(told).toEqual([
    { ink, revision: first + 1, by: 'edit' },
    { ink, revision: first + 2, by: 'edit' },
    { ink, revision: first + 3, by: 'edit' },
    { ink: null, revision: 0, by: 'shelf' },
  ]);
});

test('a removed ink is off the shelf, and comes back with all its work and its steps', async () => {
  const { library, ink } = await smallLibrary(folder);
  library.edit(ink, { edit: 'removeRegions', ids: ['ef'] });
  const document = library.document(ink);
  library.removeInk(ink);
  expect(library.inks()).toEqual([]);
  expect(library.papers()).toEqual([]);
  expect(() => library.document(ink)).toThrow(expect.objectContaining({ code: 'no-such-ink' }));
  expect(() => library.edit(ink, { edit: 'removeRegions', ids: ['bare'] })).toThrow(/no ink 1 on the shelf/);
  library.restoreInk(ink);
  expect(library.document(ink)).toEqual(document);
  expect(library.undo(ink)).toBe('remove region “ef”');
  expect(() => library.restoreInk(99)).toThrow(expect.objectContaining({ code: 'no-such-ink' }));
});
