/** `npm start` as a process of its own: which window it takes and why, what it says, and how it ends. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Library } from '../../electron/library/library.ts';
import { ROOT } from '../guards/projectFiles.ts';
import { ask } from './loopback.ts';

const folder = mkdtempSync(join(tmpdir(), 'wetline-start-'));
const running = new Set<ChildProcess>();
afterAll(() => {
  for (const child of running) child.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
});

/** What the started program reaches for: other programs, the network, Electron's package (importing it downloads). */
const spy = join(folder, 'spy.cjs');
const reached = join(folder, 'reached.txt');
const opened = join(folder, 'opened.txt');
const commands = join(folder, 'commands');
const electronName = process.platform === 'darwin' ? 'Electron.app/Contents/MacOS/Electron' : 'electron';

function script(file: string, text: string): string {
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, `#!/bin/sh\n${text}\n`);
  chmodSync(file, 0o755);
  return file;
}

beforeAll(() => {
  writeFileSync(
    spy,
    `const { appendFileSync } = require('node:fs');
     const { syncBuiltinESMExports } = require('node:module');
     const log = (what) => appendFileSync(${JSON.stringify(reached)}, what + '\\n');
     const watch = (from, name) => {
       const real = from[name];
       from[name] = function (...args) { log(name + ' ' + JSON.stringify(args[0])); return real.apply(this, args); };
     };
     const processes = require('node:child_process');
     for (const name of ['spawn', 'spawnSync', 'exec', 'execFile', 'execFileSync', 'fork']) watch(processes, name);
     watch(require('node:https'), 'request');
     watch(require('node:http'), 'request');
     watch(globalThis, 'fetch');
     const { Module } = require('node:module');
     watch(Module, '_load');
     syncBuiltinESMExports();`,
  );
  for (const name of ['xdg-open', 'open']) script(join(commands, name), `echo "$1" >> '${opened}'`);
  // Built once here, so that no test waits for it.
  return new Promise<void>((resolve, reject) => {
    const child = spawn(process.execPath, [join(ROOT, 'bin', 'start.mjs'), '--help'], { stdio: 'ignore' });
    child.once('exit', (code) => (code === 0 ? resolve() : reject(new Error(`exit code ${code}`))));
  });
});

/** One without the sample ink, so that nothing is measured. */
function library(name: string): string {
  const place = join(folder, name);
  const made = Library.open(place);
  made.setSetting('sample-ink', 0);
  made.close();
  return place;
}

interface Started {
  readonly child: ChildProcess;
  readonly said: () => string;
  /** Once it has said so. */
  says(words: RegExp): Promise<RegExpExecArray>;
  /** The exit code. */
  readonly ended: Promise<number | null>;
}

function start(args: readonly string[], env: NodeJS.ProcessEnv = {}): Started {
  const child = spawn(process.execPath, ['--require', spy, join(ROOT, 'bin', 'start.mjs'), ...args], {
    // From anywhere: the program knows where it lies itself.
    cwd: folder,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: {
      PATH: `${commands}${delimiter}/usr/bin${delimiter}/bin`,
      HOME: folder,
      DISPLAY: ':0',
      ELECTRON_OVERRIDE_DIST_PATH: join(folder, 'no-electron'),
      ...env,
    },
  });
  running.add(child);
  let said = '';
  const waiting = new Set<() => void>();
  const hear = (part: Buffer) => {
    said += part.toString();
    for (const look of waiting) look();
  };
  child.stdout.on('data', hear);
  child.stderr.on('data', hear);
  const ended = once(child, 'close').then(() => {
    running.delete(child);
    for (const look of waiting) look();
    return child.exitCode;
  });
  const says = (words: RegExp) =>
    new Promise<RegExpExecArray>((resolve, reject) => {
      const look = () => {
        const found = words.exec(said);
        if (found) resolve(found);
        else if (child.exitCode !== null) reject(new Error(`ended with ${child.exitCode} and said: ${said}`));
      };
      waiting.add(look);
      look();
    });
  // That sources were changed meanwhile, and built anew, is no matter of these tests.
  const withoutBuilding = () =>
    said.replaceAll(/^(The (window|host) is .*(building it …|being built by process .*)|built in .* s)\n/gm, '');
  return { child, said: withoutBuilding, says, ended };
}

const ADDRESS = /http:\/\/127\.0\.0\.1:(\d+)\/\?token=[\w-]{43}/;

test('without Electron: in the browser, saying why, opening it; nothing is downloaded; told to stop, it ends well', async () => {
  rmSync(reached, { force: true });
  rmSync(opened, { force: true });
  const place = library('plain');
  const started = start(['--library', place]);
  const [address, port] = await started.says(ADDRESS);
  expect(started.said()).toContain(
    `Wetline's window is in your browser, since Electron's program is not here: ${address}\n`,
  );
  await started.says(/Library: .*plain/);

  const entry = await ask(Number(port), new URL(address).pathname + new URL(address).search);
  const cookie = String(entry.headers['set-cookie']).split(';')[0];
  const hello = await ask(Number(port), '/api/hello', { cookie });
  expect(JSON.parse(hello.text)).toMatchObject({ shell: 'browser', library: place });
  const page = await ask(Number(port), '/', { cookie });
  expect(page.text).toContain('<script type="module"');

  await expect.poll(() => existsSync(opened) && readFileSync(opened, 'utf8').trim()).toBe(address);
  started.child.kill('SIGINT');
  started.child.kill('SIGINT');
  expect(await started.ended).toBe(0);
  expect(started.said()).toContain('Ending: what was done is kept.');
  const lines = readFileSync(reached, 'utf8').trim().split('\n');
  const outside = lines.filter(
    (line) => !line.startsWith('_load "') || /electron(\/(index|cli|install)\.js)?"$/.test(line),
  );
  expect(outside).toEqual([`spawn "${process.platform === 'darwin' ? 'open' : 'xdg-open'}"`]);
});

test('with Electron: the desktop window, which is told where the library is, and whose exit code is kept', async () => {
  const dist = join(folder, 'electron-well');
  const note = join(folder, 'electron.txt');
  script(join(dist, electronName), `echo "$@" > '${note}'; echo "$WETLINE_HOME" >> '${note}'; exit 0`);
  const place = join(folder, 'desktop');
  const started = start(['--library', place], { ELECTRON_OVERRIDE_DIST_PATH: dist, ELECTRON_RUN_AS_NODE: '1' });
  expect(await started.ended).toBe(0);
  expect(started.said()).toBe('Opening the desktop window: Electron is here.\n');
  expect(readFileSync(note, 'utf8')).toBe(`${join(ROOT, 'dist', 'host', 'window.js')}\n${place}\n`);
});

test('with an Electron that does not run here: the browser instead, and why', async () => {
  const dist = join(folder, 'electron-ill');
  script(join(dist, electronName), `echo "error while loading shared libraries" >&2; exit 127`);
  const started = start(['--library', library('ill')], { ELECTRON_OVERRIDE_DIST_PATH: dist });
  await started.says(ADDRESS);
  expect(started.said()).toContain('in your browser, since Electron ended at once (exit code 127): http');
  started.child.kill('SIGTERM');
  expect(await started.ended).toBe(0);
});

test('asked for the browser, it takes it where Electron is here, too', async () => {
  const dist = join(folder, 'electron-well');
  script(join(dist, electronName), 'exit 0');
  const started = start(['--browser', '--no-open'], {
    ELECTRON_OVERRIDE_DIST_PATH: dist,
    WETLINE_HOME: library('by-environment'),
  });
  await started.says(ADDRESS);
  expect(started.said()).toContain("Wetline's window waits for a browser, as asked with --browser: ");
  await started.says(/Library: .*by-environment/);
  started.child.kill('SIGTERM');
  expect(await started.ended).toBe(0);
});

test('a port is for the browser: it takes it where Electron is here, too', async () => {
  const dist = join(folder, 'electron-well');
  script(join(dist, electronName), 'exit 0');
  const place = library('asked-port');
  const started = start(['--port', '0', '--library', place], { ELECTRON_OVERRIDE_DIST_PATH: dist });
  await started.says(ADDRESS);
  expect(started.said()).toContain('as asked with --port');
  started.child.kill('SIGTERM');
  expect(await started.ended).toBe(0);
});

test('without a browser to open: the address is enough', async () => {
  const empty = join(folder, 'empty');
  mkdirSync(empty, { recursive: true });
  const started = start(['--library', library('closed')], { PATH: empty });
  await started.says(ADDRESS);
  await started.says(/No browser could be opened from here: open the address above yourself\./);
  started.child.kill('SIGTERM');
  expect(await started.ended).toBe(0);
});

test('a port in use: one line on what to do, and the library is free again', async () => {
  const other = createServer().listen(0, '127.0.0.1');
  await once(other, 'listening');
  const address = other.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  const place = library('taken');
  const started = start(['--no-open', '--library', place, '--port', String(port)]);
  expect(await started.ended).toBe(2);
  expect(started.said()).toBe(
    `wetline: port ${port} is in use by another program; expected a free one. ` +
      `Choose another with --port, or leave --port out and a free one is taken.\n`,
  );
  other.close();
  Library.open(place).close();
});

test('a library in use: the window that holds it is opened instead; killed without a farewell, it is free at once', async () => {
  const place = library('shared');
  const first = start(['--no-open', '--library', place]);
  const [address] = await first.says(ADDRESS);
  await first.says(/Library: /);
  rmSync(opened, { force: true });
  const second = start(['--library', place]);
  expect(await second.ended).toBe(0);
  expect(second.said()).toContain('open in another Wetline already');
  expect(second.said()).toContain(`Its window: ${address}`);
  expect(readFileSync(opened, 'utf8').trim()).toBe(address);
  first.child.kill('SIGKILL');
  await first.ended;
  const third = start(['--no-open', '--library', place]);
  await third.says(ADDRESS);
  third.child.kill('SIGTERM');
  expect(await third.ended).toBe(0);
});

test('whoever read along may leave: the window stays', async () => {
  const started = start(['--no-open', '--library', library('unread')]);
  const [address, port] = await started.says(ADDRESS);
  started.child.stdout?.destroy();
  started.child.stderr?.destroy();
  started.child.kill('SIGINT');
  expect(new URL(address).port).toBe(port);
  expect(await started.ended).toBe(0);
});

// More of what is refused: startOptions.test.ts.
test('a file for a library: refused in a line', async () => {
  const started = start(['--library', import.meta.filename, '--no-open']);
  expect(await started.ended).toBe(2);
  expect(started.said()).toMatch(/^wetline: .*start\.test\.ts: .*folder.*\n$/);
});

test('an option that there is none of: refused in a line', async () => {
  const started = start(['--prot', '1']);
  expect(await started.ended).toBe(2);
  expect(started.said()).toMatch(/^wetline: Unknown option '--prot'; expected --browser[^\n]*\n$/);
});

test('--help tells all options', async () => {
  const started = start(['--help']);
  expect(await started.ended).toBe(0);
  for (const option of ['--browser', '--no-open', '--port', '--library', 'WETLINE_HOME']) {
    expect(started.said()).toContain(option);
  }
});
