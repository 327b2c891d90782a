/**
 * The host for both shells: electron/ → dist/host. Packages stay outside it, natives and their files above all; but those of plain
 * code that every start needs are built in: hundreds of small files take long to find and open.
 */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { defineConfig } from 'vite';

const entries = {
  start: 'electron/shells/start.ts',
  window: 'electron/shells/window.ts',
  cli: 'electron/cli.ts',
  'jobs-worker': 'electron/jobs/worker.ts',
  'jobs-process': 'electron/jobs/jobsProcess.ts',
  'view-worker': 'electron/view/worker.ts',
};

const BUILT_IN = [
  'hono',
  '@hono/node-server',
  'zod',
  'csv-stringify',
  'client-zip',
  'ml-matrix',
  // With all that they import: of 250 files two functions are used.
  'ml-airpls',
  'ml-savitzky-golay-generalized',
  'ml-spectra-processing',
  'ml-xsadd',
  'cuthill-mckee',
  'fft.js',
  'is-any-array',
  'binary-search',
];

export default defineConfig({
  ssr: { noExternal: BUILT_IN },
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist/host',
    emptyOutDir: true,
    rolldownOptions: {
      input: Object.fromEntries(
        Object.entries(entries)
          // Wherever the program is started from.
          .map(([name, file]) => [name, join(import.meta.dirname, file)] as const)
          .filter(([, file]) => existsSync(file)),
      ),
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});
