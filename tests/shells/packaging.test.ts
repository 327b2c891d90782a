/** What the packages for Windows, macOS and Linux are made of: every file that the built host needs, where it can be read. */
import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { isBuiltin } from 'node:module';
import { join } from 'node:path';
import { beforeAll, expect, test } from 'vitest';
import { ROOT } from '../guards/projectFiles.ts';

interface PackageFile {
  readonly main: string;
  readonly dependencies: Readonly<Record<string, string>>;
  readonly devDependencies: Readonly<Record<string, string>>;
}
interface BuilderFile {
  readonly electronVersion: string;
  readonly files: readonly string[];
  readonly asar: boolean;
  readonly npmRebuild: boolean;
  readonly linux: object;
  readonly mac: object;
  readonly win: object;
}

const project: PackageFile = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
const builder: BuilderFile = JSON.parse(readFileSync(join(ROOT, 'electron-builder.json'), 'utf8'));

/** Builds what is old or missing. */
beforeAll(() => {
  execFileSync(process.execPath, [join(ROOT, 'bin', 'start.mjs'), '--help']);
});

/** As electron-builder reads a pattern: `*` within a folder, `**` over all below; `!` takes out again. */
function isPacked(file: string): boolean {
  const matches = (pattern: string) =>
    new RegExp(
      `^${pattern
        .replaceAll(/[.+^${}()|[\]\\]/g, '\\$&')
        .replaceAll('**', '\0')
        .replaceAll('*', '[^/]*')
        .replaceAll('\0', '.*')}$`,
    ).test(file);
  return builder.files.reduce(
    (packed, pattern) => (pattern.startsWith('!') ? packed && !matches(pattern.slice(1)) : packed || matches(pattern)),
    false,
  );
}

function hostFiles(): string[] {
  return readdirSync(join(ROOT, 'dist', 'host'));
}

test('for three systems, with the Electron that is installed and tested', () => {
  expect(builder).toMatchObject({ linux: {}, mac: {}, win: {} });
  expect(builder.electronVersion).toBe(project.devDependencies['electron']);
});

test('the program that starts, both workers and the preload script are built and packed', () => {
  expect(project.main).toBe('dist/host/window.js');
  const needed = [
    project.main,
    ...['jobs-process.js', 'jobs-worker.js', 'view-worker.js', 'preload.cjs'].map((name) => `dist/host/${name}`),
  ];
  expect(needed.filter((file) => !existsSync(join(ROOT, file)))).toEqual([]);
  expect(needed.filter((file) => !isPacked(file))).toEqual([]);
});

test('every built file, the window and the sample ink are packed; sources and tests are not', () => {
  const sample = JSON.parse(readFileSync(join(ROOT, 'sample-scans', 'sheet.json'), 'utf8')).scans;
  const files = [
    'package.json',
    'dist/window/index.html',
    ...readdirSync(join(ROOT, 'dist', 'window', 'assets')).map((name) => `dist/window/assets/${name}`),
    ...hostFiles().map((name) => `dist/host/${name}`),
    ...['sheet.json', 'layout.json', 'reference.txt', ...sample.map(({ file }: { file: string }) => file)].map(
      (name: string) => `sample-scans/${name}`,
    ),
  ];
  expect(files.length).toBeGreaterThan(15);
  expect(files.filter((file) => !isPacked(file))).toEqual([]);
  const left = [
    'electron/cli.ts',
    'tests/shells/packaging.test.ts',
    'sample-scans/generator/bench.ts',
    'dist/host.stamp',
  ];
  expect(left.filter(isPacked)).toEqual([]);
});

test('every package that the built host imports is one that is packed with it', () => {
  const imported = new Set(
    hostFiles().flatMap((name) => {
      // What is built in brings its docstrings, with examples in them.
      const text = readFileSync(join(ROOT, 'dist', 'host', name), 'utf8').replaceAll(/^\s*\*.*$/gm, '');
      return [...text.matchAll(/(?:^|[;}\s])(?:import|from)\s*\(?\s*["']([^."'][^"']*)["']/g)].map(([, what]) => what);
    }),
  );
  const packages = [...imported]
    .filter((name) => !isBuiltin(name) && name !== 'electron' && name !== 'tsx')
    .map((name) => name.split('/', name.startsWith('@') ? 2 : 1).join('/'));
  expect(packages).toEqual(expect.arrayContaining(['sharp', '@photostructure/sqlite', 'piscina']));
  expect(packages.filter((name) => !(name in project.dependencies))).toEqual([]);
});

test('natives, workers and scans are plain files: what is native cannot look into an archive', () => {
  expect(builder.asar).toBe(false);
  // Both natives come built, with an interface that is the same in Node.js and in Electron.
  expect(builder.npmRebuild).toBe(false);
  const sqlite = join(ROOT, 'node_modules', '@photostructure', 'sqlite', 'prebuilds');
  expect(readdirSync(sqlite)).toEqual(expect.arrayContaining(['darwin-arm64', 'linux-x64', 'win32-x64']));
});

test('the preload script is one that a sandbox can load', () => {
  const text = readFileSync(join(ROOT, 'dist', 'host', 'preload.cjs'), 'utf8');
  expect([...text.matchAll(/require\("([^"]+)"\)/g)].map(([, name]) => name)).toEqual(['electron']);
  expect(text).not.toMatch(/^import /m);
});
