import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Whole benches are rendered and measured there: begun last, one of two threads would stand idle until it ends. */
const LONGEST = ['tests/main/accuracy.test.ts', 'tests/window/firstStart.test.ts', 'tests/window/film.test.ts'];

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const isLong = ({ moduleId }: TestSpecification): boolean => LONGEST.some((name) => moduleId.endsWith(name));
    return [...sorted.filter(isLong), ...sorted.filter((file) => !isLong(file))];
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
    maxWorkers: 2,
    globalSetup: 'tests/buildHost.mjs',
    sequence: { sequencer: LongestFirst },
    projects: [
      { extends: true, test: { name: 'core', include: PURE, isolate: false } },
      { extends: true, test: { name: 'host', include: ['tests/**/*.test.{ts,tsx}'], exclude: PURE } },
    ],
  },
});
