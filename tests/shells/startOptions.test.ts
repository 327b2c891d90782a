/** What `npm start` takes, and what it says to the rest. */
import { join, resolve } from 'node:path';
import { homedir } from 'node:os';
import { expect, test } from 'vitest';
import { libraryFolder } from '../../electron/shells/libraryFolder.ts';
import { startOptions } from '../../electron/shells/startOptions.ts';

test('nothing said: Electron if it can be, a free port, the window opened', () => {
  expect(startOptions([])).toEqual({ help: false, browser: null, open: true, port: 0, library: undefined });
});

test('all said', () => {
  expect(startOptions(['--browser', '--no-open', '--port', '4100', '--library', 'inks'])).toEqual({
    help: false,
    browser: '--browser',
    open: false,
    port: 4100,
    library: 'inks',
  });
});

test.each(['--no-open', '--browser'])('%s asks for the browser', (option) => {
  expect(startOptions([option]).browser).toBe(option);
});

test.each([
  [['--port', 'ten'], 'bad-port', '--port ten: no port; expected a whole number from 1 to 65535.'],
  [['--port', '70000'], 'bad-port', '--port 70000: no port; expected a whole number from 1 to 65535.'],
  [['--prot', '1'], 'bad-option', "Unknown option '--prot'; expected --browser, --no-open, --port N or --library DIR."],
  [
    ['--library', ''],
    'bad-option',
    '--library names no folder; expected --library DIR. Leave it out for the usual one.',
  ],
  [['inks'], 'bad-option', "Unexpected argument 'inks'; expected --browser, --no-open, --port N or --library DIR."],
])('%j is refused in a line', (args, code, message) => {
  let thrown: unknown;
  try {
    startOptions(args);
  } catch (error) {
    thrown = error;
  }
  expect(thrown).toMatchObject({ code, message });
});

test.each<[string, string | undefined, NodeJS.ProcessEnv, NodeJS.Platform, string]>([
  ['said', 'inks', { WETLINE_HOME: '/elsewhere' }, 'linux', resolve('inks')],
  ['WETLINE_HOME', undefined, { WETLINE_HOME: '/elsewhere' }, 'linux', resolve('/elsewhere')],
  ['Linux', undefined, {}, 'linux', join(homedir(), '.local', 'share', 'wetline')],
  ['Linux with a data folder', undefined, { XDG_DATA_HOME: '/data' }, 'linux', join('/data', 'wetline')],
  ['macOS', undefined, {}, 'darwin', join(homedir(), 'Library', 'Application Support', 'Wetline')],
  ['Windows', undefined, { LOCALAPPDATA: 'L' }, 'win32', join('L', 'Wetline')],
])('the library lies where it should: %s', (_, said, env, platform, folder) => {
  expect(libraryFolder(said, env, platform)).toBe(folder);
});
