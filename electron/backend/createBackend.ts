/** All that the window asks for, through one web-standard handler: `backend.fetch(request)`. */
import { Hono } from 'hono';
import type { Host } from './host.ts';
import { quietAnswer } from './quietProblems.ts';
import { oneLine, problemOf, Refusal } from './refusal.ts';
import { cardRoutes } from './routes/card.ts';
import { editRoutes } from './routes/edits.ts';
import { eventRoutes } from './routes/events.ts';
import { findingsRoutes } from './routes/findings.ts';
import { importRoutes } from './routes/imports.ts';
import { jobRoutes } from './routes/jobs.ts';
import { opacityRoutes } from './routes/opacity.ts';
import { pictureRoutes } from './routes/pictures.ts';
import { regionRoutes } from './routes/regions.ts';
import { shelfRoutes } from './routes/shelf.ts';
import { stripRoutes } from './routes/strips.ts';
import { targetRoutes } from './routes/targets.ts';
import { SECURITY_HEADERS } from './securityHeaders.ts';
import { windowFile } from './windowFiles.ts';

const SECURITY = Object.entries(SECURITY_HEADERS);

export function createBackend(host: Host): Hono {
  const families = [
    shelfRoutes,
    editRoutes,
    importRoutes,
    findingsRoutes,
    opacityRoutes,
    regionRoutes,
    pictureRoutes,
    jobRoutes,
    eventRoutes,
    targetRoutes,
    cardRoutes,
    stripRoutes,
  ] as const;
  const api = new Hono();
  for (const routes of families) api.route('/', routes(host));
  api.all('*', (c) => {
    throw new Refusal(404, 'no-such-route', `${c.req.method} ${c.req.path}: the program answers nothing there.`);
  });

  const backend = new Hono();
  backend.use('*', async (c, next) => {
    await next();
    // Straight into the answer: the router's own way makes the answer anew for each of them.
    const { headers } = c.res;
    for (const [name, value] of SECURITY) headers.set(name, value);
    if (c.req.path.startsWith('/api/') && !headers.has('cache-control')) headers.set('cache-control', 'no-store');
  });
  backend.use('*', async (_, next) => {
    try {
      await next();
    } catch (thrown) {
      // A signal's reason may be a mere text, which the router would let through as no error.
      throw thrown instanceof Error ? thrown : new Error(String(thrown));
    }
  });
  backend.route('/api', api);
  backend.get('*', (c) => windowFile(host.assets, decoded(c.req.path)));
  backend.notFound((c) =>
    c.json(
      { code: 'no-such-route', message: oneLine(`${c.req.method} ${c.req.path}: the program answers nothing there.`) },
      404,
    ),
  );
  backend.onError((error, c) => {
    // Whatever the reason is called that came with the signal: the window went on, and nobody hears this answer.
    const wentOn = c.req.raw.signal.aborted;
    const { status, problem, defect } = problemOf(
      wentOn ? new DOMException('the window went on', 'AbortError') : error,
    );
    if (defect) host.onDefect?.(error);
    // A file is told by the name that the person knows.
    const told = { ...problem, message: oneLine(defect ? problem.message : host.library.named(problem.message)) };
    return quietAnswer(c.req.raw, status, told) ?? c.json(told, status);
  });
  return backend;
}

function decoded(path: string): string {
  try {
    return decodeURIComponent(path);
  } catch {
    return path;
  }
}
