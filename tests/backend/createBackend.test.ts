/** What holds for every answer: headers, the window's own files, and words for what nobody foresaw. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { createBackend } from '../../electron/backend/createBackend.ts';
import { eventRoutes } from '../../electron/backend/routes/events.ts';
import { problemOf, Refusal } from '../../electron/backend/refusal.ts';
import { JobError } from '../../electron/jobs/jobError.ts';
import { LibraryError } from '../../electron/library/libraryError.ts';
import { ScanError } from '../../electron/scans/scanError.ts';
import { SheetError } from '../../electron/sheet/sheetError.ts';
import { backendBench, drawSwab, problemIn } from './backendBench.ts';

const bench = backendBench();
const window = join(bench.folder, 'window');
const backend = createBackend({ ...bench.host, assets: window });
const ask = async (path: string, init?: RequestInit) => backend.fetch(new Request(`http://127.0.0.1:1${path}`, init));

beforeAll(() => {
  mkdirSync(join(window, 'assets'), { recursive: true });
  writeFileSync(join(window, 'index.html'), '<!doctype html><title>Wetline</title>');
  writeFileSync(join(window, 'assets', 'main-0a1b2c3d.js'), 'run()');
  writeFileSync(join(window, '.secret.txt'), 'hidden');
  writeFileSync(join(bench.folder, 'outside.txt'), 'outside');
});

const POLICY =
  "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; img-src 'self' blob: data:; " +
  "worker-src 'self' blob:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

test.each([
  '/',
  '/assets/main-0a1b2c3d.js',
  '/api/hello',
  '/api/inks/77',
  '/api/nowhere',
  '/api/events',
  '/nowhere.js',
])('GET %s: no content from elsewhere, no guessing of types, no frames', async (path) => {
  const { headers, body } = await ask(path);
  await body?.cancel();
  expect(headers.get('content-security-policy')).toBe(POLICY);
  expect(headers.get('x-content-type-options')).toBe('nosniff');
  expect(headers.get('referrer-policy')).toBe('no-referrer');
  // Asked for, it takes the page to another process (electron/backend/securityHeaders.ts).
  expect(headers.has('cross-origin-opener-policy')).toBe(false);
  expect(headers.get('cross-origin-resource-policy')).toBe('same-origin');
});

test('what changes is never kept by the browser', async () => {
  expect((await ask('/api/hello')).headers.get('cache-control')).toBe('no-store');
  expect((await ask('/api/inks/77')).headers.get('cache-control')).toBe('no-store');
});

describe("the window's files", () => {
  test('its page is asked for anew each time, what has a hash in its name once', async () => {
    const page = await ask('/');
    expect(await page.text()).toContain('<title>Wetline</title>');
    expect(page.headers.get('content-type')).toBe('text/html; charset=utf-8');
    expect(page.headers.get('cache-control')).toBe('no-cache');
    const script = await ask('/assets/main-0a1b2c3d.js');
    expect(await script.text()).toBe('run()');
    expect(script.headers.get('content-type')).toBe('text/javascript; charset=utf-8');
    expect(script.headers.get('cache-control')).toContain('immutable');
  });

  test('an address of the window itself is its page', async () => {
    expect(await (await ask('/ink/1/scans')).text()).toContain('<title>Wetline</title>');
  });

  test.each([
    '/assets/main-00000000.js',
    '/%2e%2e/outside.txt',
    '/..%2foutside.txt',
    '/.secret.txt',
    '/assets/..%2f..%2foutside.txt',
    '/%00.js',
  ])('%s is no file', async (path) => {
    const answer = await ask(path);
    expect(answer.status).toBe(404);
    expect(await answer.text()).not.toMatch(/outside|hidden/);
  });

  test('one that was not built is said as such', async () => {
    const answer = await bench.ask('/');
    expect(answer.status).toBe(503);
    expect(await answer.text()).toContain('npm run build');
  });

  test('a browser that asks for an icon gets no error', async () => {
    expect((await ask('/favicon.ico')).status).toBeLessThan(300);
  });
});

test.each([
  ['GET', '/api/nowhere'],
  ['PATCH', '/api/inks/1'],
  ['DELETE', '/api/shelf'],
  ['POST', '/'],
])('%s %s: nothing answers there, in a line', async (method, path) => {
  const problem = await problemIn(await ask(path, { method }));
  expect(problem).toEqual({
    status: 404,
    code: 'no-such-route',
    message: `${method} ${path}: the program answers nothing there.`,
  });
});

test('a window is told that something is not there as an answer: a browser writes every 404 into its console', async () => {
  const headers = { 'x-problems': 'as-answers' };
  const quiet = await ask('/api/inks/77/findings', { headers });
  expect([quiet.status, quiet.headers.get('x-status')]).toEqual([200, '404']);
  expect(await quiet.json()).toMatchObject({ code: 'no-such-ink', message: expect.stringMatching(/^no ink 77/) });
  // An image has no words to read: a tile on its way when its scan was taken away.
  const picture = await ask('/api/inks/77/scans/white/tiles/key/0/0/0', { headers: { 'sec-fetch-dest': 'image' } });
  expect([picture.status, picture.headers.get('x-status'), await picture.text()]).toEqual([204, '404', '']);
  // What a window sends, rather than asks, and what nobody foresaw, stay as they are.
  expect((await ask('/api/inks/77', { method: 'DELETE', headers })).status).toBe(404);
  expect((await ask('/api/inks/many', { headers })).status).toBe(400);
});

describe('what went wrong, with a status that fits', () => {
  const system = (code: string) => Object.assign(new Error(`${code}: write`), { code });
  test.each<[string, unknown, number, string]>([
    ['a refusal', new Refusal(413, 'too-large', 'x'), 413, 'too-large'],
    ['an ink that is not there', new LibraryError('no-such-ink', 'x'), 404, 'no-such-ink'],
    ['work that moved on', new LibraryError('changed-elsewhere', 'x'), 409, 'changed-elsewhere'],
    ['a full disk, said by the library', new LibraryError('disk-full', 'x'), 507, 'disk-full'],
    ['a library that went away', new LibraryError('library-gone', 'x'), 503, 'library-gone'],
    ['a library that is held', new LibraryError('library-busy', 'x'), 503, 'library-busy'],
    ['a full disk, said by the system', system('ENOSPC'), 507, 'disk-full'],
    ['a folder that is read only', system('EROFS'), 403, 'not-permitted'],
    ['colours that changed', new JobError('colours-changed', 'x'), 410, 'colours-changed'],
    ['a scan that cannot be read', new ScanError('scan-unreadable', 'x'), 422, 'scan-unreadable'],
    ['a place beside the scan', new ScanError('scan-outside', 'x'), 400, 'scan-outside'],
    ['a sheet that is none', new SheetError('sheet-format', 'x'), 422, 'sheet-format'],
    ['a request that was given up', new DOMException('x', 'AbortError'), 503, 'given-up'],
  ])('%s', (_, error, status, code) => {
    expect(problemOf(error)).toMatchObject({ status, problem: { code }, defect: false });
  });

  test('what nobody foresaw is a defect, said as such and told to whoever keeps the log', async () => {
    const fault = new TypeError('x is not a function.');
    const told: unknown[] = [];
    const library = new Proxy(bench.host.library, {
      get: (target, name) => {
        if (name === 'targetFiles') throw fault;
        return Reflect.get(target, name);
      },
    });
    const broken = createBackend({ ...bench.host, library, onDefect: (error) => void told.push(error) });
    const answer = await broken.fetch(new Request('http://127.0.0.1:1/api/targets'));
    expect(await problemIn(answer)).toEqual({
      status: 500,
      code: 'unexpected',
      message: 'Unexpected: x is not a function. This is a defect of the program.',
    });
    expect(told).toEqual([fault]);
  });
});

test('whatever is asked, what is wrong with it is one line', async () => {
  const deep = '['.repeat(30_000) + ']'.repeat(30_000);
  const answers = [
    await ask('/api/inks/1/undo', { method: 'POST', body: deep }),
    await ask('/api/inks/%0a%E2%80%A8/findings'),
    await ask(`/api/jobs/${'x'.repeat(5000)}`),
  ];
  expect(answers.map(({ status }) => status)).toEqual([400, 400, 404]);
  for (const answer of answers) {
    const { message } = await problemIn(answer);
    expect(message).toMatch(/^[^\n\u2028]{20,610}\.$/);
  }
});

test('a silent connection is kept open by a comment', async () => {
  const answer = await eventRoutes(bench.host, 10).fetch(new Request('http://127.0.0.1:1/events'));
  expect(answer.headers.get('content-type')).toContain('text/event-stream');
  const reader = answer.body?.pipeThrough(new TextDecoderStream()).getReader();
  let text = '';
  while (text.split(': here').length < 4) text += (await reader?.read())?.value ?? '';
  expect(text).toMatch(/^(: here\n\n)+$/);
  await reader?.cancel();
});

test.each<[string, unknown]>([
  ['a text', 'Client connection prematurely closed.'],
  ['an error of any kind', new TypeError('terminated')],
  ['no reason', undefined],
])('a window that goes on before its answer, with %s for a reason, is no defect', async (_, reason) => {
  const told: unknown[] = [];
  const calling = new AbortController();
  const view = new Proxy(bench.host.view, {
    get: (target, name) =>
      name === 'overview'
        ? (_scan: unknown, signal: AbortSignal) =>
            new Promise((_resolve, reject) => signal.addEventListener('abort', () => reject(signal.reason)))
        : Reflect.get(target, name),
  });
  const { ink, scans } = await bench.inkWith({ 'white.png': drawSwab() });
  const waiting = createBackend({ ...bench.host, view, onDefect: (error) => void told.push(error) });
  const path = `/api/inks/${ink.id}/scans/white/overview/${scans[0].colours.key}`;
  const answer = waiting.fetch(new Request(`http://127.0.0.1:1${path}`, { signal: calling.signal }));
  setTimeout(() => calling.abort(reason), 20);
  expect(await problemIn(await answer)).toMatchObject({ status: 503, code: 'given-up' });
  expect(told).toEqual([]);
});
