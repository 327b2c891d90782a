/** The built window, out of its folder: pages fresh each time, everything with a hash in its name for good. */
import { readFile } from 'node:fs/promises';
import { extname, join } from 'node:path';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webp': 'image/webp',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.woff': 'font/woff',
  '.ttf': 'font/ttf',
  '.wasm': 'application/wasm',
  '.txt': 'text/plain; charset=utf-8',
};

const NOT_BUILT =
  '<!doctype html><html lang="en"><title>Wetline</title><body><main><h1>The window is not built</h1>' +
  '<p>Its files are missing. Stop the program, run <code>npm run build</code> and start it again.</p></main></body></html>';

/** @param folder Where the built window lies; null: nowhere. @param path A decoded path that begins with '/'. */
export async function windowFile(folder: string | null, path: string): Promise<Response> {
  const wanted = path === '/' ? '/index.html' : path;
  // Parts that begin with a dot lead out of the folder or to what was never meant to be seen.
  const plain = wanted.split('/').every((part) => !part.startsWith('.')) && !/[\\\0]/.test(wanted);
  if (folder !== null && plain) {
    const found = await fileIn(folder, wanted);
    if (found) return found;
    // Addresses of pages are the window's own business; a missing script is not a page.
    if (extname(wanted) === '' || wanted === '/favicon.ico') {
      const page =
        wanted === '/favicon.ico' ? await fileIn(folder, '/favicon.svg') : await fileIn(folder, '/index.html');
      if (page) return page;
    }
  }
  if (wanted === '/favicon.ico') return new Response(null, { status: 204 });
  if (extname(wanted) !== '' && wanted !== '/index.html') {
    return new Response('There is no such file.', { status: 404, headers: { 'content-type': TYPES['.txt'] } });
  }
  return new Response(NOT_BUILT, { status: 503, headers: { 'content-type': TYPES['.html'] } });
}

/** Files with a hash in their names, read once: a window asks for a score of them while it draws its first page. */
const held = new Map<string, Uint8Array<ArrayBuffer>>();

async function fileIn(folder: string, path: string): Promise<Response | null> {
  const type = TYPES[extname(path)];
  if (type === undefined) return null;
  const forGood = path.startsWith('/assets/');
  const file = join(folder, path);
  try {
    const bytes = held.get(file) ?? new Uint8Array(await readFile(file));
    if (forGood) held.set(file, bytes);
    return new Response(bytes, {
      headers: {
        'content-type': type,
        'content-length': String(bytes.length),
        'cache-control': forGood ? 'public, max-age=31536000, immutable' : 'no-cache',
      },
    });
  } catch {
    return null;
  }
}
