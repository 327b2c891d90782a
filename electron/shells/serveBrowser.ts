/** The browser shell: the backend on this machine's loopback, for the one browser that holds the token. */
import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { createServer, type Server } from 'node:http';
import { getRequestListener } from '@hono/node-server';
import { guarded } from './guard.ts';
import { ShellError } from './shellError.ts';

export interface ServeOptions {
  /** 0 or absent: any free one. */
  readonly port?: number;
  /** Where a killed program's window was, if anywhere: at that address again, windows that are still open go on and save what they hold. */
  readonly leftAt?: string | null;
}

export interface Served {
  readonly port: number;
  /** With the token that lets a browser in. */
  readonly url: string;
  close(): Promise<void>;
}

/** What both shells serve. */
export interface Backend {
  fetch(request: Request): Response | Promise<Response>;
}

/** @throws ShellError when the port is taken. */
export async function serveBrowser(backend: Backend, { port = 0, leftAt = null }: ServeOptions = {}): Promise<Served> {
  const left = leftAt === null ? null : placeOf(leftAt);
  if (left !== null && (port === 0 || port === left.port)) {
    try {
      return await serveAt(backend, left.port, left.token);
    } catch (error) {
      if (port !== 0 || !(error instanceof ShellError)) throw error;
    }
  }
  return serveAt(backend, port, randomBytes(32).toString('base64url'));
}

/** Null: no address of ours. */
function placeOf(url: string): { readonly port: number; readonly token: string } | null {
  const [, port, token] = /^http:\/\/127\.0\.0\.1:(\d{1,5})\/\?token=([\w-]{43})$/.exec(url) ?? [];
  return port === undefined || Number(port) > 65_535 ? null : { port: Number(port), token };
}

async function serveAt(backend: Backend, port: number, token: string): Promise<Served> {
  // The guard needs the port, which is known only once the server listens; nobody can ask before.
  let answer: Backend['fetch'] = () => new Response(null, { status: 503 });
  // With the listener's own Request and Response in this process: the engine's copy an answer's bytes twice and stream them, which cost a
  // page that is opened 40 ms and as much again to clear away.
  const listener = getRequestListener((request) => answer(request));
  const server = createServer((incoming, outgoing) => void listener(incoming, outgoing));
  // Large scans may take their time on a slow disk; on loopback nobody drips bytes to keep us busy.
  server.requestTimeout = 0;
  const listening = await listen(server, port);
  answer = guarded((request) => backend.fetch(request), { port: listening, token });
  return {
    port: listening,
    url: `http://127.0.0.1:${listening}/?token=${token}`,
    close: async () => {
      const closed = once(server, 'close');
      server.close();
      server.closeAllConnections();
      await closed;
    },
  };
}

async function listen(server: Server, port: number): Promise<number> {
  try {
    const listening = once(server, 'listening');
    server.listen({ port, host: '127.0.0.1', exclusive: true });
    await listening;
  } catch (error) {
    throw cannotListen(port, error);
  }
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('the server listens nowhere');
  return address.port;
}

function cannotListen(port: number, error: unknown): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'EADDRINUSE') {
    return new ShellError(
      'port-in-use',
      `port ${port} is in use by another program; expected a free one. ` +
        `Choose another with --port, or leave --port out and a free one is taken.`,
    );
  }
  if (code === 'EACCES') {
    return new ShellError(
      'port-denied',
      `port ${port} may not be used by this account; expected one from 1024 to 65535. Choose another with --port.`,
    );
  }
  return error;
}
