import { readdirSync, readFileSync } from 'node:fs';
import { join, posix, sep } from 'node:path';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Rendered benches and the sample measured: begun last, one of two threads would stand idle until it ends. */
const LONGEST = ['tests/window/firstStart', 'tests/window/film', 'tests/main/'];

/**
 * Files that share nothing come first: one of them between two that share would end what these have loaded. Then the longest. Tests of the
 * window wait often, for a browser and for a program of several threads: between two of them stand others that compute. Small files of the core
 * come last, and fill both threads to the end.
 */
class InTurn extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const has = (names: readonly string[]) => (file: TestSpecification) =>
      names.some((name) => file.moduleId.includes(name));
    const [alone, shared] = parted(sorted, ({ project }) => project.name === 'alone');
    const [long, short] = parted(shared, has(LONGEST));
    const [windows, computing] = parted(short, has(['tests/window/']));
    const [host, core] = parted(computing, has(HOST.map((folder) => `tests/${folder}/`)));
    const between = Math.ceil(host.length / Math.max(1, windows.length));
    const mixed = windows.flatMap((file, i) => [file, ...host.slice(i * between, (i + 1) * between)]);
    return [...alone, ...long, ...mixed, ...host.slice(windows.length * between), ...core];
  }
}

function parted<T>(all: readonly T[], isFirst: (one: T) => boolean): [T[], T[]] {
  return [all.filter(isFirst), all.filter((one) => !isFirst(one))];
}

/** Threads, processes, files: they wait for these and compute in turn. */
const HOST = ['backend', 'guards', 'host', 'jobs', 'library', 'shells', 'view'];

/**
 * Folders whose tests share what they load, which saves a second of the processor for each of the host's files and half of the renderer's time.
 * They change nothing of the process that others would miss.
 */
const SHARING = [
  ...HOST,
  'calibrate',
  'card',
  'colour',
  'compare',
  'film',
  'findings',
  'locate',
  'main',
  'measure',
  'overlays',
  'raster',
  'renderer',
  'report',
  'sample-scans',
  'strip',
  'vectors',
  'window',
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
    // One a core: three on two cores took longer (645 s for 599), since a window's browser and program work while its test waits.
    maxWorkers: 2,
    globalSetup: 'tests/beforeAll.mjs',
    sequence: { sequencer: InTurn },
    projects: [
      { extends: true, test: { name: 'shared', include: SHARED, isolate: false } },
      { extends: true, test: { name: 'alone', include: ['tests/**/*.test.{ts,tsx}'], exclude: SHARED } },
    ],
  },
});
