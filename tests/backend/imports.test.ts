/** Files come in: streamed into the store, then added to an ink, or a sheet with its files made into one. */
import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { ImportAnswer, Upload, Work } from '../../electron/backend/api.ts';
import { createBackend } from '../../electron/backend/createBackend.ts';
import { drawPng } from '../host/drawPng.ts';
import { LAYOUT, plainScan, REFERENCE, soundSheet } from '../host/smallSheet.ts';
import { backendBench, drawSwab, problemIn } from './backendBench.ts';
import { unzipped } from './unzipped.ts';

const bench = backendBench();

const named = ({ name, hash }: Upload) => ({ name, hash });

describe('an upload', () => {
  test('says what came in, by its content; the same bytes again are known', async () => {
    const scan = await bench.upload('folder/white.png', drawSwab());
    expect(scan).toMatchObject({ name: 'folder/white.png', kind: 'scan', problem: null, already: null });
    expect(scan.hash).toMatch(/^[0-9a-f]{64}$/);
    const again = await bench.upload('other name.png', drawSwab());
    expect(again).toMatchObject({ name: 'other name.png', hash: scan.hash, already: 'already here as “white.png”' });
  });

  test.each<[string, string, Uint8Array | string, Partial<Upload>]>([
    ['a layout', 'layout.json', JSON.stringify(LAYOUT), { kind: 'layout', problem: null }],
    ['a reference', 'reference.txt', REFERENCE, { kind: 'reference', problem: null }],
    ['a sheet', 'sheet.json', JSON.stringify(soundSheet()), { kind: 'sheet', problem: null }],
  ])('of %s', async (_, name, bytes, expected) => {
    expect(await bench.upload(name, bytes)).toMatchObject(expected);
  });

  test.each<[string, string, Uint8Array | string, RegExp]>([
    ['half a scan', 'white.png', drawSwab().subarray(0, 900), /^white\.png: .*\. .+/],
    [
      'a grey scan',
      'grey.png',
      drawPng({ widthPx: 4, heightPx: 4, samples: new Uint8Array(16), colourType: 0 }),
      /^grey\.png: a grey image/,
    ],
    ['a holiday letter', 'letter.docx', 'Dear all,', /^letter\.docx: /],
  ])('of %s: kept out, and why in a line', async (_, name, bytes, words) => {
    const { problem } = await bench.upload(name, bytes);
    expect(problem).toMatch(words);
    expect(problem).not.toContain('\n');
  });

  test('larger than memory should hold is streamed: what fails on the way leaves nothing', async () => {
    const part = new Uint8Array(64 * 1024);
    let sent = 0;
    const body = new ReadableStream<Uint8Array>({
      pull(controller) {
        if (sent++ < 20) controller.enqueue(part);
        else controller.error(new Error('the browser went away'));
      },
    });
    const answer = await bench.ask('/api/uploads?name=white.tif', { method: 'POST', body, duplex: 'half' });
    expect(await problemIn(answer)).toMatchObject({
      status: 400,
      message: expect.stringMatching(/^white\.tif: its bytes broke off after \d+; .* bring it in again\.$/),
    });
    expect(readdirSync(join(bench.host.library.folder, 'incoming'))).toEqual([]);
    expect(bench.defects).toEqual([]);
  });

  test('is never whole in memory: what is not asked for is not read', async () => {
    let read = 0;
    let readAtFirstPart = Infinity;
    const body = new ReadableStream<Uint8Array>({
      pull(controller) {
        if (++read > 200) controller.close();
        else controller.enqueue(new Uint8Array(1024));
      },
    });
    const library = new Proxy(bench.host.library, {
      get: (target, name) =>
        name === 'addFile'
          ? async (bytes: AsyncIterable<Uint8Array>) => {
              for await (const part of bytes) {
                await new Promise((resolve) => setTimeout(resolve, 20));
                readAtFirstPart = read;
                return { hash: String(part.length), kind: 'other', problem: null, already: null };
              }
            }
          : Reflect.get(target, name),
    });
    const backend = createBackend({ ...bench.host, library });
    const request = new Request('http://127.0.0.1:1/api/uploads?name=a.tif', { method: 'POST', body, duplex: 'half' });
    expect((await backend.fetch(request)).status).toBe(201);
    expect(readAtFirstPart).toBeLessThan(5);
  });

  test('that says it has more bytes than any scan is refused before a byte is read', async () => {
    const headers = { 'content-length': String(20 * 1024 ** 3) };
    const answer = await bench.ask('/api/uploads?name=huge.tif', { method: 'POST', body: 'x', headers });
    expect(await problemIn(answer)).toMatchObject({
      status: 413,
      message: 'huge.tif: more than 20 GB; expected at most 16 GB. Scan with fewer dpi.',
    });
  });

  test.each([
    ['without a name', '/api/uploads', 'x', /name is missing/],
    ['without bytes', '/api/uploads?name=white.tif', undefined, /without bytes/],
  ])('%s is refused', async (_, path, body, words) => {
    const answer = await bench.ask(path, { method: 'POST', ...(body !== undefined && { body }) });
    expect(await problemIn(answer)).toMatchObject({ status: 400, message: expect.stringMatching(words) });
  });
});

describe('an import into an ink', () => {
  test('adds scans as one step of undo, each with an id from its name; a line for what adds none', async () => {
    const { ink } = await bench.posted<Work>('/api/inks', { name: 'Harbour Night' });
    const uploads = [
      await bench.upload('a/white.png', drawSwab()),
      await bench.upload('b/white.tif', drawSwab(310)),
      await bench.upload('"odd";.png', drawSwab(320)),
      await bench.upload('b/again.png', drawSwab()),
      await bench.upload('layout.json', JSON.stringify(LAYOUT)),
      await bench.upload('sheet.json', JSON.stringify(soundSheet())),
      await bench.upload('letter.docx', 'Dear all,'),
      { name: 'lost.png', hash: '0'.repeat(64) },
    ];
    const answer = await bench.posted<ImportAnswer>(`/api/inks/${ink.id}/import`, {
      uploads: uploads.map(({ name, hash }) => ({ name, hash })),
    });
    expect(answer.added).toEqual(['white', 'white-2', '-odd-']);
    expect(answer.work.scans.map(({ id, name }) => [id, name])).toEqual([
      ['white', 'white.png'],
      ['white-2', 'white.tif'],
      ['-odd-', '"odd";.png'],
    ]);
    expect(answer.problems.map((line) => line.split(':')[0])).toEqual([
      'again.png',
      'layout.json',
      'sheet.json',
      'letter.docx',
      'lost.png',
    ]);
    expect(answer.problems[0]).toBe(
      'again.png: the very same file is here already, as scan “white”. It was not added again.',
    );
    // The same, sent once more because no answer came.
    const twice = await bench.posted<ImportAnswer>(`/api/inks/${ink.id}/import`, {
      uploads: uploads.map(({ name, hash }) => ({ name, hash, isAgain: true })),
    });
    expect(twice).toEqual(answer);
    const undone = await bench.posted<Work>(`/api/inks/${ink.id}/undo`);
    expect(undone.scans).toEqual([]);
  });

  test('names that no address or disk would take are made such', async () => {
    const { ink } = await bench.posted<Work>('/api/inks', { name: 'Odd names' });
    const named = ['...', '.', 'new\nline.png', '\u200B.png'];
    const uploads = await Promise.all(named.map((name, i) => bench.upload(name, drawSwab(330 + i))));
    const { work } = await bench.posted<ImportAnswer>(`/api/inks/${ink.id}/import`, {
      uploads: named.map((name, i) => ({ name, hash: uploads[i].hash })),
    });
    expect(work.scans.map(({ id, name }) => [id, name])).toEqual([
      ['scan', '...'],
      ['unnamed', 'unnamed'],
      ['new line', 'new line.png'],
      ['scan-2', '\u200B.png'],
    ]);
    const files = unzipped(Buffer.from(await (await bench.ask(`/api/inks/${ink.id}/sheet.zip`)).arrayBuffer()));
    expect([...files.keys()]).not.toContain('.');
  });

  test.each([
    ['nothing', { uploads: [] }, /uploads/],
    ['a hash that is none', { uploads: [{ name: 'a', hash: 'x' }] }, /a SHA-256 in hexadecimal/],
  ])('of %s is refused', async (_, body, words) => {
    const { ink } = await bench.posted<Work>('/api/inks', { name: 'Empty' });
    const problem = await problemIn(await bench.post(`/api/inks/${ink.id}/import`, body));
    expect(problem).toMatchObject({ status: 400, message: expect.stringMatching(words) });
  });
});

describe('a sheet', () => {
  test('with its files makes an ink', async () => {
    const uploads = [
      await bench.upload('bench/sheet.json', JSON.stringify(soundSheet())),
      await bench.upload('bench/white.png', plainScan(254)),
      await bench.upload('bench/strip.png', drawSwab(400, 300)),
      await bench.upload('bench/target.png', drawSwab(410, 300)),
      await bench.upload('bench/layout.json', JSON.stringify(LAYOUT)),
      await bench.upload('bench/reference.txt', REFERENCE),
    ];
    const sheet = { uploads: uploads.map(named), request: 'window 1, sheet 1' };
    const answer = await bench.posted<ImportAnswer>('/api/sheets', sheet);
    expect(answer.problems).toEqual([]);
    // Sent once more because no answer came: no second ink.
    expect(await bench.posted<ImportAnswer>('/api/sheets', sheet)).toEqual(answer);
    expect(answer.work.ink).toMatchObject({ name: 'Harbour Night', maker: 'Quill & Tide', invented: false });
    expect(answer.work.scans.map(({ id }) => id)).toEqual(expect.arrayContaining(['white', 'strip']));
    expect(answer.work.regions.map(({ region }) => region.id)).toEqual(['bare', 'ef', 'run']);
  });

  test('is asked for when there is none among the files', async () => {
    const uploads = [named(await bench.upload('white.png', drawSwab()))];
    const problem = await problemIn(await bench.post('/api/sheets', { uploads }));
    expect(problem).toMatchObject({ status: 422, code: 'no-sheet' });
    expect(problem.message).toContain('expected one of format "wetline-sheet/1"');
  });
});

describe('files by their paths', () => {
  const desktop = backendBench({ shell: 'electron' });

  test('come in where the desktop window asks; a missing one has a line and stops no other', async () => {
    const here = join(desktop.folder, 'white.png');
    writeFileSync(here, drawSwab());
    const uploads = await desktop.posted<Upload[]>('/api/paths', { paths: [join(desktop.folder, 'gone.png'), here] });
    expect(uploads).toMatchObject([
      { kind: 'other', problem: expect.stringContaining('no such file') },
      { name: here, kind: 'scan', problem: null },
    ]);
  });

  test('are refused to a browser, which could name any file of the machine', async () => {
    const problem = await problemIn(await bench.post('/api/paths', { paths: ['/etc/hostname'] }));
    expect(problem).toMatchObject({ status: 403, code: 'desktop-only' });
  });
});
