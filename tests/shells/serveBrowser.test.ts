/** The browser shell over real loopback: who is let in, who is turned away, and in which words. */
import { connect, createServer } from 'node:net';
import { once } from 'node:events';
import { networkInterfaces } from 'node:os';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ShellError } from '../../electron/shells/shellError.ts';
import { type Served, serveBrowser } from '../../electron/shells/serveBrowser.ts';
import { ask } from './loopback.ts';

let reached: string[] = [];
const backend = {
  fetch: async (request: Request): Promise<Response> => {
    reached.push(`${request.method} ${new URL(request.url).pathname}`);
    return new Response(`${request.method}:${await request.text()}`);
  },
};
let served: Served;
let cookie: string;

beforeAll(async () => {
  served = await serveBrowser(backend);
  const first = await ask(served.port, `/?token=${tokenOf(served.url)}`);
  cookie = String(first.headers['set-cookie']).split(';')[0];
});
afterAll(() => served.close());

function tokenOf(url: string): string {
  return new URL(url).searchParams.get('token') ?? '';
}

test('the first address gives a cookie that only this server and no script sees, and leaves the token behind', async () => {
  const { status, headers } = await ask(served.port, `/?token=${tokenOf(served.url)}&more=1`);
  expect(status).toBe(303);
  expect(headers['location']).toBe('/?more=1');
  expect(String(headers['set-cookie'])).toMatch(/^wetline-\d+=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict$/);
  expect(headers['referrer-policy']).toBe('no-referrer');
  expect(headers['cache-control']).toBe('no-store');
});

test('with the cookie, requests and their bodies reach the backend', async () => {
  expect(await ask(served.port, '/api/hello', { cookie })).toMatchObject({ status: 200, text: 'GET:' });
  const origin = `http://127.0.0.1:${served.port}`;
  const posted = await ask(served.port, '/api/inks', { cookie, origin }, 'POST', '{"name":"x"}');
  expect(posted.text).toBe('POST:{"name":"x"}');
});

test('after a kill the same address serves again, and its cookie still lets in; where that is taken, another does', async () => {
  const before = await serveBrowser(backend);
  const held = `wetline-${before.port}=${tokenOf(before.url)}`;
  await before.close();
  const again = await serveBrowser(backend, { leftAt: before.url });
  expect(again.url).toBe(before.url);
  expect(await ask(again.port, '/api/hello', { cookie: held })).toMatchObject({ status: 200 });
  const beside = await serveBrowser(backend, { leftAt: before.url });
  expect(beside.port).not.toBe(before.port);
  expect(tokenOf(beside.url)).not.toBe(tokenOf(before.url));
  await expect(serveBrowser(backend, { leftAt: before.url, port: before.port })).rejects.toThrow(/is in use/);
  await Promise.all([again.close(), beside.close()]);
  // No address of ours says nothing.
  for (const leftAt of ['http://127.0.0.1:99999/?token=x', `https://elsewhere.example/?token=${'a'.repeat(43)}`]) {
    const fresh = await serveBrowser(backend, { leftAt });
    expect(fresh.url).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?token=[\w-]{43}$/);
    await fresh.close();
  }
});

test('a request through a proxy address is not sent elsewhere by the redirect', async () => {
  const { headers } = await ask(served.port, `//elsewhere.example/?token=${tokenOf(served.url)}`);
  expect(headers['location']).toBe('/elsewhere.example/');
});

describe('turned away with 403, in words, and without reaching the backend', () => {
  const own = () => `127.0.0.1:${served.port}`;
  test.each<[string, () => Record<string, string>, RegExp]>([
    ['no token', () => ({}), /address that the program printed/],
    ['a wrong token in the cookie', () => ({ cookie: `${cookie.slice(0, -1)}!` }), /earlier start/],
    [
      'the cookie of another port',
      () => ({ cookie: cookie.replace(/-\d+=/, '-1=') }),
      /address that the program printed/,
    ],
    [
      'another name for this machine',
      () => ({ cookie, host: `ink.example:${served.port}` }),
      /answers to 127\.0\.0\.1:\d+ only/,
    ],
    ['localhost', () => ({ cookie, host: `localhost:${served.port}` }), /answers to 127\.0\.0\.1/],
    ['another port in the Host', () => ({ cookie, host: '127.0.0.1:1' }), /answers to/],
    ['a page of another site', () => ({ cookie, origin: 'https://ink.example' }), /“https:\/\/ink\.example” asked/],
    [
      'a page of another program here',
      () => ({ cookie, origin: 'http://127.0.0.1:1' }),
      /only the program's own window/,
    ],
    ['a page without an origin', () => ({ cookie, origin: 'null' }), /“null” asked/],
    [
      'a picture in a page of another program here',
      () => ({ cookie, 'sec-fetch-site': 'same-site', 'sec-fetch-mode': 'no-cors' }),
      /Another site's page/,
    ],
    [
      'a frame in another site',
      () => ({ cookie, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'iframe' }),
      /Another site's page/,
    ],
  ])('%s', async (_, headers, words) => {
    reached = [];
    const { status, headers: said, text } = await ask(served.port, '/api/shelf', { host: own(), ...headers() });
    expect(status).toBe(403);
    const { message }: { message: string } = JSON.parse(text);
    expect(message).toMatch(words);
    expect(said['x-content-type-options']).toBe('nosniff');
    expect(said['set-cookie']).toBeUndefined();
    expect(reached).toEqual([]);
  });

  test('a form that another site sends', async () => {
    reached = [];
    const headers = { cookie, origin: 'https://ink.example', 'content-type': 'text/plain' };
    expect((await ask(served.port, '/api/inks', headers, 'POST', '{}')).status).toBe(403);
    expect(reached).toEqual([]);
  });

  test('a wrong token in the address, on a page that a person can read', async () => {
    const { status, text, headers } = await ask(served.port, '/?token=wrong', { accept: 'text/html' });
    expect(status).toBe(403);
    expect(headers['content-type']).toBe('text/html; charset=utf-8');
    expect(text).toContain('earlier start of the program');
    expect(text).not.toContain('<script');
  });

  test('a token given to the API, where only the cookie counts', async () => {
    expect((await ask(served.port, `/api/shelf?token=${tokenOf(served.url)}`)).status).toBe(403);
  });
});

test('a link that was followed to here is let in with the cookie', async () => {
  const followed = {
    cookie,
    'sec-fetch-site': 'cross-site',
    'sec-fetch-mode': 'navigate',
    'sec-fetch-dest': 'document',
  };
  expect((await ask(served.port, '/', followed)).status).toBe(200);
});

test('each start has a token of its own', async () => {
  const other = await serveBrowser(backend);
  expect(tokenOf(other.url)).not.toBe(tokenOf(served.url));
  await other.close();
});

test('a port in use: one line that says what to do', async () => {
  const other = createServer().listen(0, '127.0.0.1');
  await once(other, 'listening');
  const address = other.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  const failed = await serveBrowser(backend, { port }).catch((error: unknown) => error);
  other.close();
  expect(failed).toBeInstanceOf(ShellError);
  expect(failed).toMatchObject({
    code: 'port-in-use',
    message: `port ${port} is in use by another program; expected a free one. Choose another with --port, or leave --port out and a free one is taken.`,
  });
});

test('other machines are not answered: the server listens on loopback alone', async () => {
  const outside = Object.values(networkInterfaces())
    .flatMap((addresses) => addresses ?? [])
    .filter(({ family, internal }) => family === 'IPv4' && !internal)
    .map(({ address }) => address);
  const answered = await Promise.all(
    ['127.0.0.2', ...outside].map(
      (host) =>
        new Promise<boolean>((resolve) => {
          const socket = connect({ host, port: served.port, timeout: 2000 });
          const end = (open: boolean) => {
            socket.destroy();
            resolve(open);
          };
          socket.once('connect', () => end(true));
          socket.once('error', () => end(false));
          socket.once('timeout', () => end(false));
        }),
    ),
  );
  expect(answered).not.toContain(true);
});

test('closing ends streams that are still open', async () => {
  const endless = {
    fetch: () => new Response(new ReadableStream({ start: (c) => c.enqueue(new TextEncoder().encode(': here\n\n')) })),
  };
  const other = await serveBrowser(endless);
  const entry = await ask(other.port, `/?token=${tokenOf(other.url)}`);
  const held = String(entry.headers['set-cookie']).split(';')[0];
  const open = fetch(`http://127.0.0.1:${other.port}/api/events`, { headers: { cookie: held } });
  const reader = (await open).body?.getReader();
  await reader?.read();
  await other.close();
  await expect(reader?.read()).rejects.toThrow(/terminated|closed|aborted/);
});
