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

/** Tests of the pure core replace no module and touch no environment: they share what they load, which saves a sixth of their time. */
const PURE = [
  'calibrate',
  'card',
  'colour',
  'compare',
  'film',
  'locate',
  'measure',
  'raster',
  'report',
  'strip',
  'vectors',
].map((folder) => `tests/${folder}/**/*.test.ts`);

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
      { extends: true, test: { name: 'core', include: PURE, isolate: false } },
      { extends: true, test: { name: 'host', include: ['tests/**/*.test.{ts,tsx}'], exclude: PURE } },
    ],
  },
});
