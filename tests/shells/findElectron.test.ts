/** Whether Electron's program is here is told by files alone, on every system. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeEach, expect, test } from 'vitest';
import { findElectron } from '../../electron/shells/findElectron.ts';

const root = mkdtempSync(join(tmpdir(), 'wetline-electron-'));
const project = join(root, 'project');
const packageFolder = join(project, 'node_modules', 'electron');
afterAll(() => rmSync(root, { recursive: true, force: true }));

function plant(file: string, text = ''): string {
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, text);
  return file;
}

beforeEach(() => {
  rmSync(packageFolder, { recursive: true, force: true });
  plant(join(packageFolder, 'package.json'), '{"name":"electron","version":"45.3.4","main":"index.js"}');
  // Would a mere look import the package, this would be seen.
  plant(join(packageFolder, 'index.js'), 'throw new Error("the package was imported: it would download now")');
});

const SCREEN = { DISPLAY: ':0' };

test('the package without its program', () => {
  expect(findElectron(project, SCREEN, 'linux')).toEqual({ program: null, why: "Electron's program is not here" });
});

test('no package at all', () => {
  expect(findElectron(join(root, 'without'), SCREEN, 'linux')).toEqual({
    program: null,
    why: 'Electron is not installed',
  });
});

test.each<[NodeJS.Platform, string]>([
  ['linux', 'electron'],
  ['win32', 'electron.exe'],
  ['darwin', 'Electron.app/Contents/MacOS/Electron'],
])('its program on %s', (platform, name) => {
  const program = plant(join(packageFolder, 'dist', name));
  expect(findElectron(project, SCREEN, platform)).toEqual({ program, why: null });
});

test('a name that the package noted down', () => {
  plant(join(packageFolder, 'path.txt'), 'other-name');
  plant(join(packageFolder, 'dist', 'electron'));
  expect(findElectron(project, SCREEN, 'linux').program).toBeNull();
  const program = plant(join(packageFolder, 'dist', 'other-name'));
  expect(findElectron(project, SCREEN, 'linux').program).toBe(program);
});

test('a folder named by ELECTRON_OVERRIDE_DIST_PATH goes first, there or not', () => {
  plant(join(packageFolder, 'dist', 'electron'));
  const elsewhere = join(root, 'elsewhere');
  const env = { ...SCREEN, ELECTRON_OVERRIDE_DIST_PATH: elsewhere };
  expect(findElectron(project, env, 'linux').program).toBeNull();
  const program = plant(join(elsewhere, 'electron'));
  expect(findElectron(project, env, 'linux').program).toBe(program);
});

test('a Linux without a screen has no use for it; a Wayland screen is one', () => {
  const program = plant(join(packageFolder, 'dist', 'electron'));
  expect(findElectron(project, {}, 'linux').why).toMatch(/no screen for it/);
  expect(findElectron(project, { WAYLAND_DISPLAY: 'wayland-0' }, 'linux').program).toBe(program);
  expect(findElectron(project, {}, 'darwin').why).toBe("Electron's program is not here");
});
