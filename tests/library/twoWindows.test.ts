/** Two windows on one ink: each sends what it made of what it had drawn. */
import { expect, test } from 'vitest';
import type { Edit } from '../../electron/library/document.ts';
import { sheetRegion } from '../../electron/library/firstId.ts';
import type { Library } from '../../electron/library/library.ts';
import type { SheetRegion } from '../../electron/sheet/sheetSchema.ts';
import { testFolder } from '../host/folder.ts';
import { closeLibrary, openLibrary, smallLibrary } from './smallLibrary.ts';

const folder = testFolder();

const regionOf = (library: Library, ink: number, id: string): SheetRegion => {
  const found = library.document(ink).regions.find((region) => region.id === id);
  if (!found) throw new Error(`no region ${id}`);
  // As a window has it.
  return sheetRegion(found);
};
const changed = (from: SheetRegion, change: object): Edit => ({
  edit: 'changeRegion',
  id: from.id,
  from,
  region: { ...from, ...change },
});

test('what another window changed beside it stays; what it changed of the same is told, and comes back by undo alone', async () => {
  const { library, ink } = await smallLibrary(folder, () => Date.UTC(2026, 0, 1));
  const from = regionOf(library, ink, 'ef');
  expect(library.edit(ink, changed(from, { boxMm: [1, 1, 8, 8] }))).toBeNull();
  expect(library.edit(ink, changed(from, { nib: 'B' }))).toBeNull();
  expect(regionOf(library, ink, 'ef')).toEqual({ ...from, boxMm: [1, 1, 8, 8], nib: 'B' });
  // The same from both is no quarrel.
  expect(library.edit(ink, changed(from, { nib: 'B' }))).toBeNull();
  library.edit(ink, changed(from, { boxMm: [1, 1, 8, 8] }));
  const theirs = library.document(ink);
  expect(library.edit(ink, changed(from, { boxMm: [3, 1, 8, 8], nib: 'M' }))).toBe(
    'The place and nib of “ef” were changed in another window meanwhile; yours is kept. Undo brings back theirs.',
  );
  library.undo(ink);
  expect(library.document(ink)).toEqual(theirs);

  // Moves of one region within a second are one step, but not over another window's.
  library.edit(ink, changed(regionOf(library, ink, 'ef'), { boxMm: [2, 1, 8, 8] }));
  const moved = library.document(ink);
  expect(library.edit(ink, changed(from, { boxMm: [4, 1, 8, 8] }))).toContain('The place of “ef” was');
  library.undo(ink);
  expect(library.document(ink)).toEqual(moved);
});

test('what two windows say of a strip’s bands is kept of both', async () => {
  const { library, ink } = await smallLibrary(folder);
  const { nib: _, ...bare } = { nib: undefined, ...regionOf(library, ink, 'bare') };
  const strip = { kind: 'strip', originMm: 7, frontMm: 1, bands: [{ rF: 0.2 }] };
  library.edit(ink, changed(bare, strip));
  const from = regionOf(library, ink, 'bare');
  // One takes back what was said and says something else, the other joins two bands.
  library.edit(ink, changed(from, { bands: [{ removed: true, rF: 0.5 }] }));
  expect(library.edit(ink, changed(from, { bands: [{ rF: 0.2 }, { rF: 0.7, with: 0.9 }] }))).toBeNull();
  expect(regionOf(library, ink, 'bare')).toMatchObject({
    bands: [
      { rF: 0.5, removed: true },
      { rF: 0.7, with: 0.9 },
    ],
  });
  const both = regionOf(library, ink, 'bare');
  library.edit(ink, changed(both, { bands: [{ rF: 0.7, with: 0.9 }] }));
  const { bands: __, ...none } = { bands: undefined, ...both };
  expect(library.edit(ink, { edit: 'changeRegion', id: 'bare', from: both, region: none })).toBeNull();
  expect(regionOf(library, ink, 'bare')).not.toHaveProperty('bands');
});

test('of two words on one band that cannot both stand the later does, and that is told', async () => {
  const { library, ink } = await smallLibrary(folder);
  const { nib: _, ...bare } = { nib: undefined, ...regionOf(library, ink, 'bare') };
  library.edit(ink, changed(bare, { kind: 'strip', originMm: 7, frontMm: 1 }));
  const from = regionOf(library, ink, 'bare');
  const none = { rF: 0.4, removed: true };
  const joined = { rF: 0.405, with: 0.7 };
  const bands = (): unknown => Reflect.get(regionOf(library, ink, 'bare'), 'bands');
  library.edit(ink, changed(from, { bands: [none, { rF: 0.9 }] }));
  expect(library.edit(ink, changed(from, { bands: [{ rF: 0.41 }] }))).toContain('The bands of “bare” were changed');
  expect(bands()).toEqual([{ rF: 0.9 }, { rF: 0.41 }]);
  expect(library.edit(ink, changed(from, { bands: [joined] }))).toContain('The bands of “bare” were');
  expect(bands()).toEqual([{ rF: 0.9 }, joined]);
  // Held, it may be one with another all the same; what both say is no news.
  expect(library.edit(ink, changed(from, { bands: [{ rF: 0.4 }] }))).toBeNull();
  expect(library.edit(ink, changed(from, { bands: [{ rF: 0.9 }] }))).toBeNull();
  expect(library.edit(ink, changed(from, { bands: [none] }))).toContain('Undo brings back theirs');
  expect(bands()).toEqual([{ rF: 0.9 }, none]);
});

test('what does not go together with another window’s change is put in whole, and that is told', async () => {
  const { library, ink } = await smallLibrary(folder);
  const { nib: _, ...bare } = { nib: undefined, ...regionOf(library, ink, 'bare') };
  library.edit(ink, changed(bare, { kind: 'strokes', nib: 'B' }));
  expect(library.edit(ink, changed(bare, { kind: 'reverse', of: 'ef' }))).toContain('The kind and nib of “bare” were');
  expect(regionOf(library, ink, 'bare')).toEqual({ ...bare, kind: 'reverse', of: 'ef' });
});

test('scan, target and ink, too, keep what the other window said beside it', async () => {
  const { library, ink } = await smallLibrary(folder);
  const scan = (paper: string | null, from: string | null): Edit => ({
    edit: 'changeScan',
    id: 'white',
    change: { paper },
    from: { paper: from },
  });
  const said = library.document(ink).scans.find(({ id }) => id === 'white')?.paper ?? null;
  expect(library.edit(ink, scan('laid', said))).toBeNull();
  expect(library.edit(ink, scan('wove', said))).toContain('The paper of scan “white” was');

  const names = { name: 'Harbour Night', maker: 'Quill & Tide', claim: null };
  library.edit(ink, { edit: 'changeInk', ...names });
  library.edit(ink, { edit: 'changeInk', ...names, name: 'Harbour Dusk', from: names });
  expect(library.edit(ink, { edit: 'changeInk', ...names, claim: 'blue', from: names })).toBeNull();
  expect(library.document(ink).ink).toEqual({ name: 'Harbour Dusk', maker: 'Quill & Tide', claim: 'blue' });
  expect(library.edit(ink, { edit: 'changeInk', ...names, name: 'Harbour Dawn', from: names })).toContain(
    'The name of the ink was',
  );

  const { target: from } = library.document(ink);
  if (!from) throw new Error('no target');
  const pointsMm = [
    [1, 1],
    [30, 1],
    [30, 20],
    [1, 20],
  ] as const;
  const set = (target: typeof from): string | null =>
    library.edit(ink, { edit: 'setTarget', serves: 'all', target, from });
  expect(set({ ...from, white: 'white' })).toBeNull();
  expect(set({ ...from, pointsMm })).toBeNull();
  expect(library.document(ink).target).toEqual({ ...from, pointsMm, white: 'white' });
  expect(set({ ...from, scan: 'strip' })).toContain('The target was');
  expect(library.document(ink).target).toEqual({ ...from, scan: 'strip', white: 'white' });
});

test('a thing that another window renamed is still meant; a region that it removed comes back with the change', async () => {
  const { library, ink } = await smallLibrary(folder);
  const from = regionOf(library, ink, 'ef');
  const seen = library.revision(ink);
  library.edit(ink, changed(from, { id: 'fine' }));
  library.edit(ink, changed(regionOf(library, ink, 'fine'), { id: 'finest' }));
  expect(library.edit(ink, changed(from, { nib: 'XF' }))).toBeNull();
  expect(regionOf(library, ink, 'finest')).toEqual({ ...from, id: 'finest', nib: 'XF' });
  library.edit(ink, { edit: 'changeScan', id: 'white', change: { id: 'page' } });
  library.edit(ink, { edit: 'changeScan', id: 'white', change: { paper: 'laid' } });
  expect(library.document(ink).scans.find(({ id }) => id === 'page')?.paper).toBe('laid');

  expect(library.edit(ink, { edit: 'removeRegions', ids: ['ef'] }, { seen })).toBe(
    '“finest” was changed in another window just before it was removed here. Undo brings it back as it was there.',
  );
  expect(library.edit(ink, { edit: 'removeRegions', ids: ['ef'] }, { seen })).toBeNull();
  expect(library.history(ink).undo).toBe('remove region “finest”');
  const back = { ...from, id: 'finest', scan: 'page' };
  expect(library.edit(ink, changed(back, { nib: 'M' }))).toMatch(/^Region “finest” was removed in another window/);
  expect(regionOf(library, ink, 'finest')).toEqual({ ...back, nib: 'M' });
  library.undo(ink);
  expect(library.document(ink).regions.map(({ id }) => id)).toEqual(['bare', 'run']);
});

test('scans and regions that an edit refers to are meant by their old names, too', async () => {
  const { library, ink } = await smallLibrary(folder);
  const { target } = library.document(ink);
  if (!target) throw new Error('no target');
  const rename = (id: string, to: string): Edit => ({ edit: 'changeScan', id, change: { id: to } });
  library.edit(ink, rename('target', 'card'));
  library.edit(ink, rename('white', 'page'));
  library.edit(ink, changed(regionOf(library, ink, 'ef'), { id: 'finest' }));
  const lit = { ...target, white: 'white' };
  expect(library.edit(ink, { edit: 'setTarget', serves: 'all', target: lit, from: target })).toBeNull();
  expect(library.document(ink).target).toEqual({ ...target, scan: 'card', white: 'page' });
  library.edit(ink, { edit: 'changeScan', id: 'strip', change: { side: 'back', of: 'white' }, from: { of: null } });
  const back: SheetRegion = { id: 'back', scan: 'strip', kind: 'reverse', boxMm: [1, 1, 5, 5], of: 'ef' };
  library.edit(ink, { edit: 'addRegion', region: back });
  expect(library.document(ink)).toMatchObject({ scans: [{}, { of: 'page' }, {}] });
  expect(regionOf(library, ink, 'back')).toEqual({ ...back, of: 'finest' });
  const names = ['ef', 'finest', 'nothing'].map((name) => library.nameNow(ink, 'regions', name));
  expect([...names, library.nameNow(ink, 'scans', 'white')]).toEqual(['finest', 'finest', 'nothing', 'page']);
});

test('a target is said of scans by their old names, and lies on one; what is removed was seen on one', async () => {
  const { library, ink } = await smallLibrary(folder);
  const { target } = library.document(ink);
  if (!target) throw new Error('no target');
  const seen = library.revision(ink);
  const from = regionOf(library, ink, 'ef');
  library.edit(ink, { edit: 'changeScan', id: 'white', change: { id: 'page' } });
  library.edit(ink, { edit: 'changeScan', id: 'strip', change: { id: 'ribbon' } });
  library.edit(ink, { edit: 'setTarget', serves: 'white', target: { ...target, scan: 'strip' } }, { seen });
  const page = library.document(ink).scans.find(({ id }) => id === 'page');
  expect(page?.target).toEqual({ ...target, scan: 'ribbon' });
  // Of the region itself nothing was changed.
  expect(library.edit(ink, { edit: 'removeRegions', ids: ['ef'], from: [from] }, { seen })).toBeNull();
});

test('what goes with a scan that is removed, and another window had changed, is told', async () => {
  const { library, ink } = await smallLibrary(folder);
  const seen = library.revision(ink);
  library.edit(ink, changed(regionOf(library, ink, 'ef'), { nib: 'XF' }));
  expect(library.edit(ink, { edit: 'removeScan', id: 'white' }, { seen })).toBe(
    '“ef” was changed in another window just before it was removed here. Undo brings it back as it was there.',
  );
  library.undo(ink);
  expect(regionOf(library, ink, 'ef')).toMatchObject({ nib: 'XF' });
  const since = library.revision(ink);
  expect(library.edit(ink, { edit: 'removeScan', id: 'white' }, { seen: since })).toBeNull();
  library.undo(ink);
  const again = library.revision(ink);
  library.edit(ink, { edit: 'changeScan', id: 'white', change: { paper: 'laid' } });
  library.edit(ink, changed(regionOf(library, ink, 'ef'), { nib: 'M' }));
  expect(library.edit(ink, { edit: 'removeScan', id: 'white' }, { seen: again })).toContain(
    '“white”, “ef” were changed in another window just before they were removed here.',
  );
});

test('a removal right behind an own edit still tells what another window had changed, and takes nothing of its own for that', async () => {
  const { library, ink } = await smallLibrary(folder);
  const from = regionOf(library, ink, 'ef');
  const mine = { ...from, nib: 'XF' };
  const remove: Edit = { edit: 'removeRegions', ids: ['bare', 'ef'], from: [null, mine] };
  // The answer to the edit has both changes; where the removal was pressed, it had not come.
  library.edit(ink, changed(from, { paper: 'laid' }));
  library.edit(ink, changed(from, { nib: 'XF' }));
  expect(library.edit(ink, remove, { seen: library.revision(ink) })).toBe(
    '“ef” was changed in another window just before it was removed here. Undo brings it back as it was there.',
  );
  library.undo(ink);
  expect(regionOf(library, ink, 'ef')).toEqual({ ...mine, paper: 'laid' });
  const revision = library.revision(ink);
  library.edit(ink, changed(regionOf(library, ink, 'ef'), { nib: 'B' }));
  const own: Edit = { ...remove, from: [null, regionOf(library, ink, 'ef')] };
  expect(library.edit(ink, own, { seen: revision })).toBeNull();
  library.undo(ink);

  const scan = { paper: null, side: 'front', of: null, dpi: null, target: null } as const;
  const regions = library.document(ink).regions.filter((region) => region.scan === 'strip');
  const seen = { ...scan, id: 'strip', regions };
  const removeScan: Edit = { edit: 'removeScan', id: 'strip', from: seen };
  expect(library.edit(ink, removeScan, { seen: library.revision(ink) })).toBeNull();
  library.undo(ink);
  library.edit(ink, { edit: 'addRegion', region: { id: 'new', scan: 'strip', kind: 'swab', boxMm: [1, 1, 5, 5] } });
  library.edit(ink, { edit: 'changeScan', id: 'strip', change: { id: 'run', paper: 'filter' } });
  expect(library.edit(ink, removeScan, { seen: library.revision(ink) })).toMatch(/^“run”, “new” were changed/);
});

test('two new regions of one proposed name are both kept', async () => {
  const { library, ink } = await smallLibrary(folder);
  const region: SheetRegion = { id: 'swab-1', scan: 'white', kind: 'swab', boxMm: [1, 1, 5, 5] };
  library.edit(ink, { edit: 'addRegion', region, proposed: true });
  library.edit(ink, { edit: 'addRegion', region: { ...region, boxMm: [9, 9, 5, 5] }, proposed: true });
  expect(library.document(ink).regions.map(({ id }) => id)).toEqual(['bare', 'ef', 'run', 'swab-1', 'swab-1-2']);
  expect(() => library.edit(ink, { edit: 'addRegion', region })).toThrow(/there already/);
});

test('a request that was carried out before a kill is not carried out again after it', async () => {
  const { library, ink } = await smallLibrary(folder);
  const remove: Edit = { edit: 'removeRegions', ids: ['bare'] };
  library.edit(ink, remove, { request: 'a' });
  closeLibrary(library);
  const again = openLibrary(library.folder);
  expect(again.edit(ink, remove, { request: 'a' })).toBeNull();
  const { steps } = again.history(ink);
  if (steps.undo === null) throw new Error('no step');
  const undo = { step: steps.undo, request: 'b' };
  expect([again.undo(ink, undo), again.undo(ink, undo)]).toEqual(['remove region “bare”', 'remove region “bare”']);
  expect(() => again.undo(ink, { step: steps.undo ?? 0, request: 'c' })).toThrow(
    expect.objectContaining({ code: 'changed-elsewhere' }),
  );
  expect(again.history(ink)).toMatchObject({ undo: null, redo: 'remove region “bare”' });
});
