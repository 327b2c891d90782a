import { describe, expect, test, vi } from 'vitest';
import type { SheetRegion, WorkScan } from '../../electron/backend/api.ts';
import { EMPTY_BOARD, withPin, withScansRenamed } from '../../renderer/scans/pins.ts';
import { removedWords } from '../../renderer/scans/removedElsewhere.ts';
import { firstName, noteRename, nowCalled, nowCalledAll, renamedIn } from '../../renderer/scans/renamed.ts';
import { renamesBetween } from '../../renderer/scans/renamesBetween.ts';
import { counts } from '../../renderer/scans/saidHere.ts';

describe('what is put into a field', () => {
  test('counts until the form draws a work that holds it', () => {
    // The library has not answered; it has, an earlier work is drawn; the work with it is; it was refused; nothing was put in.
    expect(counts({ value: 305, since: null }, 6)).toBe(true);
    expect(counts({ value: 305, since: 7 }, 6)).toBe(true);
    expect(counts({ value: 305, since: 7 }, 7)).toBe(false);
    expect(counts({ value: 305, since: 0 }, 6)).toBe(false);
    expect(counts(null, 6)).toBe(false);
  });
});

describe('between two states of an ink', () => {
  const scan = (id: string, hash: string): Pick<WorkScan, 'id' | 'hash'> => ({ id, hash });
  const region = (id: string, x = 1): { readonly region: SheetRegion } => ({
    region: { id, scan: 'white', kind: 'swab', boxMm: [x, 1, 5, 5] },
  });
  const state = (scans: ReturnType<typeof scan>[], regions: ReturnType<typeof region>[]) => ({ scans, regions });

  test('a scan is the same by its file, a region by its place and its box', () => {
    const before = state([scan('white', 'w'), scan('back', 'b')], [region('a'), region('b', 9)]);
    expect(renamesBetween(before, before)).toEqual([]);
    expect(
      renamesBetween(before, state([scan('page', 'w'), scan('back', 'b')], [region('a'), region('swab', 9)])),
    ).toEqual([
      { what: 'scan', from: 'white', to: 'page' },
      { what: 'region', from: 'b', to: 'swab' },
    ]);
    // One removed and another drawn; two that changed names with each other; a scan gone, another of its name there.
    expect(renamesBetween(before, state(before.scans, [region('b', 9), region('c', 20)]))).toEqual([]);
    expect(renamesBetween(before, state(before.scans, [region('a'), region('c', 20)]))).toEqual([]);
    expect(renamesBetween(before, state(before.scans, [region('b'), region('a', 9)]))).toEqual([]);
    expect(renamesBetween(before, state([scan('back', 'b'), scan('white', 'x')], before.regions))).toEqual([]);
  });

  test('pins go along with their scan; what vanishes from under the hand is told', () => {
    const board = withPin(EMPTY_BOARD, { scan: 'white', xPx: 1, yPx: 1, glimpse: null });
    expect(withScansRenamed(board, [{ from: 'white', to: 'page' }]).pins[0].scan).toBe('page');
    expect(withScansRenamed(board, [{ from: 'back', to: 'page' }])).toBe(board);
    expect(removedWords('Region', [])).toBeNull();
    expect(removedWords('Region', ['a', 'b'])).toBe(
      'Regions “a”, “b” were removed in another window. Undo brings them back.',
    );
  });
});

describe('a region that is given another name', () => {
  const there =
    (...names: readonly string[]) =>
    (name: string): boolean =>
      names.includes(name);

  test('is meant by either name, whichever it bears: before the library answers, after, and after undo', () => {
    noteRename(1, 'region', 'ef', 'extra fine');
    expect(nowCalled(1, 'region', 'ef', there('ef', 'm'))).toBe('ef');
    expect(nowCalled(1, 'region', 'ef', there('extra fine', 'm'))).toBe('extra fine');
    expect(nowCalled(1, 'region', 'extra fine', there('ef', 'm'))).toBe('ef');
    // Another takes the old name: it is meant itself.
    expect(nowCalled(1, 'region', 'ef', there('ef', 'extra fine'))).toBe('ef');
    // Of this ink's regions alone, and only of what was renamed.
    expect(nowCalled(2, 'region', 'ef', there('extra fine'))).toBe('ef');
    expect(nowCalled(1, 'scan', 'ef', there('extra fine'))).toBe('ef');
    expect(nowCalled(1, 'region', 'm', there('extra fine'))).toBe('m');
  });

  test('and another once more before the library has answered, is meant by all of them', () => {
    noteRename(5, 'region', 'm', 'medium');
    noteRename(5, 'region', 'm', 'stub');
    for (const name of ['m', 'medium', 'stub']) {
      expect(['m', 'medium', 'stub'].map((now) => nowCalled(5, 'region', name, there(now)))).toEqual([
        'm',
        'medium',
        'stub',
      ]);
    }
  });

  test('keeps what is drawn for it', () => {
    noteRename(3, 'region', 'a', 'b');
    noteRename(3, 'region', 'b', 'c');
    const drawn = (...names: readonly string[]) => names.map((name) => firstName(3, 'region', name, there(...names)));
    expect(['a', 'b', 'c', 'd'].flatMap((name) => drawn(name))).toEqual(['a', 'a', 'a', 'd']);
    // Another that takes the name which it gave up is drawn for itself.
    expect(new Set(drawn('a', 'b')).size).toBe(2);
    expect(drawn('c', 'a')[0]).toBe('a');
  });

  test('outlives a reload of the window, where its name was answered too late for the address', async () => {
    const kept = new Map<string, string>();
    const { getItem, setItem } = { getItem: (key: string) => kept.get(key) ?? null, setItem: kept.set.bind(kept) };
    vi.stubGlobal('sessionStorage', { getItem, setItem });
    const loaded = async () => {
      vi.resetModules();
      return import('../../renderer/scans/renamed.ts');
    };
    (await loaded()).noteRename(1, 'region', 'ef', 'finest');
    const after = await loaded();
    expect(after.nowCalled(1, 'region', 'ef', there('finest'))).toBe('finest');
    expect(after.nowCalled(2, 'region', 'ef', there('finest'))).toBe('ef');
    kept.set('wetline.renamed', '[{"ink":1,"what":"nib","from":"a","to":"b"},null,7]');
    expect((await loaded()).nowCalled(1, 'region', 'a', there('b'))).toBe('a');
    vi.unstubAllGlobals();
  });

  test('is found by an address that has its old name', () => {
    noteRename(4, 'scan', 'white', 'bright white');
    const scans = [{ id: 'yellow' }, { id: 'bright white' }];
    expect(nowCalledAll(4, 'scan', 'white;yellow;gone', scans)).toBe('bright white;yellow;gone');
    expect(nowCalledAll(4, 'scan', undefined, scans)).toBeUndefined();
    expect(renamedIn('yellow;white', 'white', 'bright white')).toBe('yellow;bright white');
    expect(renamedIn(undefined, 'white', 'bright white')).toBeUndefined();
  });
});
