/** The letters and the code of the page that the address names, fetched while what begins the window still starts up. */

/** By page, as the build wrote them into index.html (vite.window.config.ts); in the order in which they are needed. */
type FilesOf = Readonly<Record<string, readonly string[]>>;

/** One after another: asked for all at once, they keep several threads of the browser from the page's own. */
export function filesAhead(): void {
  const files = listed(location.hash);
  const next = (): void => {
    const file = files.shift();
    if (file === undefined) return;
    const link = document.createElement('link');
    link.rel = file.endsWith('.js') ? 'modulepreload' : 'preload';
    if (!file.endsWith('.js')) link.as = file.endsWith('.css') ? 'style' : 'font';
    link.crossOrigin = '';
    link.href = file;
    link.addEventListener('load', next);
    // Whoever needs it says so.
    link.addEventListener('error', next);
    document.head.append(link);
  };
  next();
}

function listed(hash: string): string[] {
  const written = document.querySelector<HTMLMetaElement>('meta[name="wetline-files"]')?.content;
  if (written === undefined) return [];
  const filesOf: FilesOf = JSON.parse(written);
  // '#/shelf', '#/ink/1/scans?…'. No pattern: the engine would make one in the page's first moments.
  const [, first = '', , page = first] = hash.split('?', 1)[0].split('/');
  return [...(filesOf[page] ?? filesOf['shelf'] ?? [])];
}
