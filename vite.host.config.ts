/** The host for both shells: electron/ → dist/host. Packages stay outside it, natives and their files above all. */
import { existsSync } from 'node:fs';
import { defineConfig } from 'vite';

const entries = {
  start: 'electron/shells/start.ts',
  window: 'electron/shells/window.ts',
  'jobs-worker': 'electron/jobs/worker.ts',
  'jobs-process': 'electron/jobs/jobsProcess.ts',
  'view-worker': 'electron/view/worker.ts',
};

export default defineConfig({
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist/host',
    emptyOutDir: true,
    rolldownOptions: {
      input: Object.fromEntries(Object.entries(entries).filter(([, file]) => existsSync(file))),
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});
