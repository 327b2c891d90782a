import { mkdirSync, readdirSync, readFileSync, statSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { refuseUnwritable, writeWhole } from '../../electron/files/writeWhole.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
let count = 0;
/** A fresh folder for each test. */
function fresh(): string {
  const path = join(folder.path, String(count++));
  mkdirSync(path);
  return path;
}

test('writes a new file, text or bytes, and leaves nothing beside it', async () => {
  const path = fresh();
  await writeWhole(join(path, 'a.json'), 'Grüße ΔE', { force: false });
  await writeWhole(join(path, 'b.png'), Uint8Array.of(1, 2, 255), { force: false });
  expect(readFileSync(join(path, 'a.json'), 'utf8')).toBe('Grüße ΔE');
  expect([...readFileSync(join(path, 'b.png'))]).toEqual([1, 2, 255]);
  expect(readdirSync(path)).toEqual(['a.json', 'b.png']);
});

test('replaces nothing, unless told to', async () => {
  const path = fresh();
  const file = join(path, 'a.json');
  await writeWhole(file, 'first', { force: false });
  await expect(writeWhole(file, 'second', { force: false })).rejects.toMatchObject({ code: 'output-exists' });
  expect(readFileSync(file, 'utf8')).toBe('first');
  await writeWhole(file, 'third', { force: true });
  expect(readFileSync(file, 'utf8')).toBe('third');
  expect(readdirSync(path)).toEqual(['a.json']);
});

test('of two that write at once one wins and the other is told', async () => {
  const path = fresh();
  const file = join(path, 'a.json');
  const both = await Promise.allSettled(['one', 'two'].map((text) => writeWhole(file, text, { force: false })));
  expect(both.map((r) => r.status).toSorted()).toEqual(['fulfilled', 'rejected']);
  const winner = both.findIndex((r) => r.status === 'fulfilled');
  expect(readFileSync(file, 'utf8')).toBe(['one', 'two'][winner]);
  expect(readdirSync(path)).toEqual(['a.json']);
});

test('makes no folders', async () => {
  const path = fresh();
  await expect(writeWhole(join(path, 'new/a.json'), 'x', { force: true })).rejects.toMatchObject({
    code: 'output-no-folder',
  });
  expect(readdirSync(path)).toEqual([]);
});

test('a folder or a device is no file to replace, even when told to', async () => {
  const path = fresh();
  mkdirSync(join(path, 'a.json'));
  await expect(writeWhole(join(path, 'a.json'), 'x', { force: true })).rejects.toMatchObject({
    code: 'output-not-a-file',
  });
  await expect(writeWhole('/dev/null', 'x', { force: true })).rejects.toMatchObject({ code: 'output-not-a-file' });
  expect(statSync('/dev/null').isCharacterDevice()).toBe(true);
});

test('a failure half-way leaves the old file and no rest', async () => {
  const path = fresh();
  const file = join(path, 'a.json');
  await writeWhole(file, 'old', { force: false });
  // A name so long that the temporary one beside it is beyond what the file system takes.
  const long = join(path, `${'x'.repeat(250)}.json`);
  await expect(writeWhole(long, 'new', { force: true })).rejects.toThrow('the name is too long for this disk');
  // Data that fails while it is written.
  const failing = Object.defineProperty(new Uint8Array(4), 'buffer', {
    get: () => {
      throw new Error('no data');
    },
  });
  await expect(writeWhole(file, failing, { force: true })).rejects.toThrow('no data');
  expect(readFileSync(file, 'utf8')).toBe('old');
  expect(readdirSync(path)).toEqual(['a.json']);
});

test('a folder that takes no files is told in words, not in the system’s', async () => {
  await expect(writeWhole('/proc/a.json', 'x', { force: false })).rejects.toMatchObject({
    name: 'OutputError',
    message: '/proc/a.json: no such file can be made there; choose another name or folder.',
  });
});

test('a link is written through, not replaced', async () => {
  const path = fresh();
  await writeWhole(join(path, 'real.json'), 'old', { force: false });
  symlinkSync('real.json', join(path, 'link.json'));
  await writeWhole(join(path, 'link.json'), 'new', { force: true });
  expect(readFileSync(join(path, 'real.json'), 'utf8')).toBe('new');
  expect(readdirSync(path)).toEqual(['link.json', 'real.json']);
});

test('asked beforehand it tells the same', async () => {
  const path = fresh();
  await writeWhole(join(path, 'a'), '', { force: false });
  await expect(refuseUnwritable(join(path, 'a'), false)).rejects.toThrow(
    /exists and is not replaced; choose another name or add --force/,
  );
  await expect(refuseUnwritable(join(path, 'a'), true)).resolves.toBeUndefined();
  await expect(refuseUnwritable(join(path, 'b'), false)).resolves.toBeUndefined();
  await expect(refuseUnwritable(`${join(path, 'b')}/`, false)).rejects.toMatchObject({ code: 'output-not-a-file' });
  await expect(refuseUnwritable(join(path, 'c/b'), false)).rejects.toMatchObject({ code: 'output-no-folder' });
});
