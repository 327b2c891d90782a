/**
 * Who may talk to a server on this machine's loopback: only the browser that was given the token, and only pages that came
 * from this very server. Other programs and other people on the machine, and pages of other sites (also by a name that
 * they point at 127.0.0.1), are turned away in words.
 */
import { createHash, timingSafeEqual } from 'node:crypto';
import { SECURITY_HEADERS } from '../backend/securityHeaders.ts';

type Handler = (request: Request) => Response | Promise<Response>;

export interface GuardOptions {
  readonly port: number;
  readonly token: string;
}

/** @returns the same handler behind the guard. */
export function guarded(handler: Handler, { port, token }: GuardOptions): Handler {
  const own = port === 80 ? '127.0.0.1' : `127.0.0.1:${port}`;
  const cookie = `wetline-${port}`;
  return async (request) => {
    const url = new URL(request.url);
    const refusal = strangeAddress(request, own);
    if (refusal !== null) return refuse(request, url, 'strange-address', refusal);

    const offered = url.searchParams.get('token');
    if (offered !== null && request.method === 'GET' && !url.pathname.startsWith('/api/')) {
      if (!same(offered, token)) return refuse(request, url, 'wrong-token', WRONG_TOKEN);
      url.searchParams.delete('token');
      return new Response(null, {
        status: 303,
        headers: {
          ...SECURITY_HEADERS,
          'cache-control': 'no-store',
          location: `${url.pathname.replace(/^\/+/, '/')}${url.search}`,
          'set-cookie': `${cookie}=${token}; Path=/; HttpOnly; SameSite=Strict`,
        },
      });
    }
    const held = cookieOf(request.headers.get('cookie') ?? '', cookie);
    if (held === null || !same(held, token))
      return refuse(request, url, 'no-token', held === null ? NO_TOKEN : WRONG_TOKEN);
    return handler(request);
  };
}

const NO_TOKEN =
  'This page can only be opened with the address that the program printed when it was started; it ends in “?token=…”. ' +
  'Copy that whole address from the terminal into this browser.';
const WRONG_TOKEN =
  'This address belongs to an earlier start of the program. ' +
  'Copy the address that it printed this time from the terminal into this browser.';

/** Why the request did not come from a page of this server, in words; null when it did or may have. */
function strangeAddress(request: Request, own: string): string | null {
  const host = request.headers.get('host');
  if (host !== own) {
    return `This server was asked for as “${host ?? ''}”; it answers to ${own} only. Open http://${own}/ with its token instead.`;
  }
  const origin = request.headers.get('origin');
  if (origin !== null && origin !== `http://${own}`) {
    return `A page of “${origin}” asked; only the program's own window at http://${own} may. Nothing was done.`;
  }
  const site = request.headers.get('sec-fetch-site');
  if (site === null || site === 'same-origin' || site === 'none') return null;
  // A link that a person followed to here is no reading by a strange page: it may show what the window shows.
  const followed = request.method === 'GET' && request.headers.get('sec-fetch-mode') === 'navigate';
  if (followed && request.headers.get('sec-fetch-dest') === 'document') return null;
  return `Another site's page asked; only the program's own window at http://${own} may. Nothing was done.`;
}

function cookieOf(header: string, name: string): string | null {
  for (const pair of header.split(';')) {
    const [key, value] = pair.trim().split('=', 2);
    if (key === name && value !== undefined) return value;
  }
  return null;
}

/** In a time that tells nothing about where they differ. */
function same(a: string, b: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(a), digest(b));
}

function refuse(request: Request, url: URL, code: string, message: string): Response {
  const headers = { ...SECURITY_HEADERS, 'cache-control': 'no-store' };
  const wantsPage = !url.pathname.startsWith('/api/') && (request.headers.get('accept') ?? '').includes('text/html');
  if (!wantsPage) return Response.json({ code, message }, { status: 403, headers });
  return new Response(page(message), {
    status: 403,
    headers: { ...headers, 'content-type': 'text/html; charset=utf-8' },
  });
}

function page(message: string): string {
  const safe = message.replaceAll(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
  return (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Wetline</title>' +
    '<meta name="viewport" content="width=device-width"><style>body{margin:0;background:#b9b9b9;color:#111;' +
    'font:16px/1.5 system-ui,sans-serif}main{max-width:36em;margin:20vh auto;padding:0 24px}h1{font-size:20px}</style></head>' +
    `<body><main><h1>Wetline does not know this browser</h1><p>${safe}</p></main></body></html>`
  );
}
