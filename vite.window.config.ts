/** The window's pages: renderer/ → dist/window, served by the backend. */
import { join } from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin, type Rolldown } from 'vite';

type CodeSplittingGroup = Rolldown.CodeSplittingGroup;

const RENDERER = join(import.meta.dirname, 'renderer');

const LETTERS = /source-sans-3-latin-wght-normal-[\w-]+\.woff2$/;

/** By the name in the address. */
const PAGES: Readonly<Record<string, string>> = {
  shelf: 'shelf/ShelfPage.tsx',
  scans: 'scans/ScansPage.tsx',
  findings: 'findings/FindingsPage.tsx',
  writing: 'writing/WritingPage.tsx',
  papers: 'opacity/OtherPapersPage.tsx',
  strips: 'strips/StripsPage.tsx',
  dyes: 'strips/DyesPage.tsx',
  calibration: 'calibration/CalibrationPage.tsx',
};
/** What most people look at first. */
const FIRST_LOOK = ['shelf/ShelfPage.tsx', 'scans/ScansPage.tsx'];
const BEGIN = 'begin.tsx';
const FRAME = 'frame/Framed.tsx';
const VIEWER = 'viewer/ScanViewer.tsx';

/** The letters and all that each page needs, listed in index.html for renderer/frame/filesAhead.ts. */
function firstLookAhead(): Plugin {
  return {
    name: 'first-look-ahead',
    transformIndexHtml: {
      order: 'post',
      handler(html, { bundle }) {
        const chunks = Object.values(bundle ?? {}).filter((output) => output.type === 'chunk');
        const chunkOf = (module: string): Rolldown.OutputChunk => {
          const chunk = chunks.find(({ facadeModuleId }) => facadeModuleId?.endsWith(`/renderer/${module}`));
          if (!chunk) throw new Error(`the build holds no ${module}; correct vite.window.config.ts`);
          return chunk;
        };
        /** Needed before needing. */
        const want = (chunk: Rolldown.OutputChunk, files: Set<string>): Set<string> => {
          if (files.has(chunk.fileName)) return files;
          for (const file of chunk.imports) {
            const needed = chunks.find(({ fileName }) => fileName === file);
            if (needed) want(needed, files);
          }
          for (const css of chunk.viteMetadata?.importedCss ?? []) files.add(css);
          return files.add(chunk.fileName);
        };
        const letters = Object.keys(bundle ?? {}).find((file) => LETTERS.test(file));
        if (letters === undefined) throw new Error('the build holds no Latin letters; correct LETTERS');
        const first = want(chunkOf(BEGIN), new Set([letters]));
        want(chunkOf(FRAME), first);
        const filesOf = Object.fromEntries(
          Object.entries(PAGES).map(([page, module]) => {
            const files = [...want(chunkOf(module), new Set(first))].filter((file) => !html.includes(`/${file}`));
            return [page, files.map((file) => `/${file}`)];
          }),
        );
        return [{ tag: 'meta', injectTo: 'head', attrs: { name: 'wetline-files', content: JSON.stringify(filesOf) } }];
      },
    },
  };
}

/**
 * What the library asks the engine as it is loaded, and what we know: the browser's language, for which the engine lists all its
 * calendars (the window has its own, renderer/frame/Framed.tsx), and whether numbers can be written with a plus, for which it reads
 * all that it knows of numbers (every browser can since 2020). Together 30 ms of the first task.
 */
const KNOWN = [
  { file: 'useDefaultLocale.mjs', asks: /Intl\.DateTimeFormat\.supportedLocalesOf\(\[\s*locale\s*\]\);/, known: '' },
  {
    file: 'NumberFormatter.mjs',
    asks: /= new Intl\.NumberFormat\('de-DE', \{\s*signDisplay: 'exceptZero'\s*\}\)\.resolvedOptions\(\)\.signDisplay === 'exceptZero';/,
    known: '= true;',
  },
] as const;

function answeredAhead(): Plugin {
  const waiting = new Set<string>(KNOWN.map(({ file }) => file));
  return {
    name: 'answered-ahead',
    apply: 'build',
    transform(code, id) {
      const one = KNOWN.find(({ file }) => id.endsWith(`/${file}`));
      if (!one) return null;
      if (!one.asks.test(code))
        throw new Error(`${one.file} asks in other words: correct KNOWN in vite.window.config.ts`);
      waiting.delete(one.file);
      return { code: code.replace(one.asks, one.known), map: null };
    },
    buildEnd(error) {
      if (!error && waiting.size > 0)
        throw new Error(`the build holds no ${[...waiting].join(', ')}; correct KNOWN in vite.window.config.ts`);
    },
  };
}

type Graph = Parameters<Extract<CodeSplittingGroup['name'], (...args: never) => unknown>>[1];

/** All that a module needs before it runs. */
function needs(root: string, graph: Graph): ReadonlySet<string> {
  const found = new Set<string>();
  const find = (id: string): void => {
    if (found.has(id)) return;
    found.add(id);
    graph.getModuleInfo(id)?.importedIds.forEach(find);
  };
  find(root);
  return found;
}

/**
 * What pages share, in few files: every file is a request that several of the browser's threads have to do with, and those of a page
 * are asked for in one task.
 */
function sharedFiles(): CodeSplittingGroup[] {
  const known = new Map<string, ReadonlySet<string>>();
  const isNeeded = (file: string, id: string, graph: Graph): boolean => {
    const set = known.get(file) ?? needs(join(RENDERER, file), graph);
    known.set(file, set);
    return set.has(id);
  };
  const pages = Object.values(PAGES);
  const own = ['main.tsx', BEGIN, FRAME, ...pages].map((page) => join(RENDERER, page));
  const file = (name: string, of: (id: string, graph: Graph) => boolean, order: number): CodeSplittingGroup => ({
    name: (id, graph) => (!own.includes(id) && of(id, graph) ? name : null),
    debugName: name,
    priority: order,
  });
  const byPages = (id: string, graph: Graph): readonly string[] => pages.filter((page) => isNeeded(page, id, graph));
  const isShared = (id: string, graph: Graph): boolean =>
    byPages(id, graph).length > 1 && FIRST_LOOK.some((one) => isNeeded(one, id, graph));
  /** Whether only pages with a scan in view need it. */
  const isViewers = (id: string, graph: Graph): boolean =>
    byPages(id, graph).every((page) => isNeeded(page, join(RENDERER, VIEWER), graph));
  return [
    file('first', (id, graph) => isNeeded('main.tsx', id, graph), 6),
    file('start', (id, graph) => isNeeded(BEGIN, id, graph), 5),
    file('frame', (id, graph) => isNeeded(FRAME, id, graph), 4),
    // Before the viewer, which takes along all that it needs: pages without a scan would run the whole of it.
    file('shared', (id, graph) => isShared(id, graph) && !isViewers(id, graph), 3),
    file('viewer', (id, graph) => isNeeded(VIEWER, id, graph) || isShared(id, graph), 2),
    file('plots', (id) => /[\\/]node_modules[\\/](@observablehq|d3)/.test(id), 1),
    file('measured', (id, graph) => byPages(id, graph).length > 1, 0),
  ];
}

export default defineConfig({
  root: 'renderer',
  plugins: [react(), answeredAhead(), firstLookAhead()],
  build: {
    outDir: '../dist/window',
    emptyOutDir: true,
    // Fonts and pictures stay files: the content security policy lets no font in by a data address.
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 2500,
    // Every browser since 2023 takes links to modules by itself.
    modulePreload: { polyfill: false },
    rolldownOptions: {
      // The pure core does nothing on being loaded: of a file that is needed for one list, the tables of what else it measures stay out.
      treeshake: { moduleSideEffects: [{ test: /[\\/]analysis[\\/]/, sideEffects: false }] },
      output: { codeSplitting: { groups: sharedFiles() } },
    },
  },
});
