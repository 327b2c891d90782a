/** The window's pages: renderer/ → dist/window, served by the backend. */
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

export default defineConfig({
  root: 'renderer',
  plugins: [react()],
  build: {
    outDir: '../dist/window',
    emptyOutDir: true,
    // Fonts and pictures stay files: the content security policy lets no font in by a data address.
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 2500,
  },
});
