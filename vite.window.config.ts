/** The window's pages: renderer/ → dist/window, served by the backend. */
import react from '@vitejs/plugin-react';
import { defineConfig, type HtmlTagDescriptor, type Plugin } from 'vite';

/** What the first look needs comes while the entry still starts up, and not one after another. */
const FIRST_LOOK = ['frame/Framed.tsx', 'shelf/ShelfPage.tsx', 'scans/ScansPage.tsx'];

function firstLookAhead(): Plugin {
  return {
    name: 'first-look-ahead',
    transformIndexHtml: {
      order: 'post',
      handler(_html, { bundle }) {
        const chunks = Object.values(bundle ?? {}).filter((output) => output.type === 'chunk');
        const wanted = new Set<string>();
        const want = (file: string): void => {
          if (wanted.has(file)) return;
          wanted.add(file);
          chunks.find(({ fileName }) => fileName === file)?.imports.forEach(want);
        };
        for (const page of FIRST_LOOK) {
          const chunk = chunks.find(({ facadeModuleId }) => facadeModuleId?.endsWith(`/renderer/${page}`));
          if (!chunk) throw new Error(`the build holds no ${page}; correct FIRST_LOOK in vite.window.config.ts`);
          want(chunk.fileName);
        }
        return [...wanted]
          .filter((file) => !chunks.some(({ fileName, isEntry }) => isEntry && fileName === file))
          .map((file): HtmlTagDescriptor => ({
            tag: 'link',
            attrs: { rel: 'modulepreload', crossorigin: true, href: `/${file}` },
          }));
      },
    },
  };
}

export default defineConfig({
  root: 'renderer',
  plugins: [react(), firstLookAhead()],
  build: {
    outDir: '../dist/window',
    emptyOutDir: true,
    // Fonts and pictures stay files: the content security policy lets no font in by a data address.
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 2500,
  },
});
