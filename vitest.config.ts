import { readdirSync, readFileSync } from 'node:fs';
import { join, posix, sep } from 'node:path';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Rendered benches and the sample measured: begun last, one of two threads would stand idle until it ends. */
const LONGEST = ['tests/window/firstStart', 'tests/window/film', 'tests/main/'];

/**
 * The longest first. Tests of the window wait often, for a browser and for a program of several threads: between two of them stand others that
 * compute. Tests of the core come last and one after another, so that they share what they load, and their small files fill both threads to the end.
 */
class InTurn extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const isLong = ({ moduleId }: TestSpecification): boolean => LONGEST.some((name) => moduleId.includes(name));
    const ordered = [...sorted.filter(isLong), ...sorted.filter((file) => !isLong(file))];
    const core = ordered.filter(({ project }) => project.name === 'core');
    const windows = ordered.filter(({ moduleId }) => moduleId.includes('tests/window/'));
    const others = ordered.filter((file) => !core.includes(file) && !windows.includes(file));
    const between = Math.ceil(others.length / Math.max(1, windows.length));
    const mixed = windows.flatMap((file, i) => [file, ...others.slice(i * between, (i + 1) * between)]);
    return [...mixed, ...others.slice(windows.length * between), ...core];
  }
}

/** Folders whose tests share what they load, which saves a sixth of the core's time and half of the renderer's: they change no file and no process. */
const SHARING = [
  'calibrate',
  'card',
  'colour',
  'compare',
  'film',
  'findings',
  'locate',
  'measure',
  'overlays',
  'raster',
  'renderer',
  'report',
  'sample-scans',
  'strip',
  'vectors',
];

/** But for those that replace a module, a global or the clock: what they replace would be there for others. */
const SHARED = SHARING.flatMap((folder) =>
  readdirSync(join(import.meta.dirname, 'tests', folder), { recursive: true, encoding: 'utf8' })
    .map((file) => posix.join('tests', folder, file.replaceAll(sep, '/')))
    .filter(
      (file) =>
        /\.test\.tsx?$/.test(file) &&
        !/\bvi\.(mock|stub|spyOn|useFake)/.test(readFileSync(join(import.meta.dirname, file), 'utf8')),
    ),
);

export default defineConfig({
  test: {
    testTimeout: 60_000,
    hookTimeout: 120_000,
    // What is waited for comes when a busy machine gets to it; a second is too short for a browser, a program and a library in turn.
    expect: { poll: { timeout: 20_000 } },
    maxWorkers: 2,
    globalSetup: 'tests/buildHost.mjs',
    sequence: { sequencer: InTurn },
    projects: [
      { extends: true, test: { name: 'core', include: SHARED, isolate: false } },
      { extends: true, test: { name: 'host', include: ['tests/**/*.test.{ts,tsx}'], exclude: SHARED } },
    ],
  },
});
