import { describe, expect, test } from 'vitest';
import { firstName, noteRename, nowCalled, nowCalledAll, renamedIn } from '../../renderer/scans/renamed.ts';
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
    expect(['a', 'b', 'c', 'd'].map((name) => firstName(3, 'region', name))).toEqual(['a', 'a', 'a', 'd']);
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
