/**
 * The desktop shell's wiring, with Electron replaced by what only writes down how it is called: the window's rights, what
 * its scheme answers, that it goes nowhere else, and that it closes in order.
 */
import { join } from 'node:path';
import { beforeEach, expect, test, vi } from 'vitest';

type Listener = (...args: unknown[]) => unknown;

const recorded = vi.hoisted(() => {
  const listeners = (): Map<string, Listener[]> => new Map();
  return {
    order: [] as string[],
    app: listeners(),
    contents: listeners(),
    window: listeners(),
    lock: true,
    schemes: [] as unknown[],
    handlers: new Map<string, (request: Request) => Response | Promise<Response>>(),
    windows: [] as { readonly webPreferences: Record<string, unknown> }[],
    loaded: [] as string[],
    openHandler: null as null | ((details: { url: string }) => { action: string }),
    request: null as null | ((contents: unknown, permission: string, decide: (granted: boolean) => void) => void),
    check: null as null | ((contents: unknown, permission: string, from: string) => boolean),
    device: null as null | (() => boolean),
    network: null as null | ((request: { url: string }, decide: (answer: { cancel: boolean }) => void) => void),
    opened: [] as string[],
    boxes: [] as string[],
    answers: [] as number[],
    exits: [] as number[],
    focused: 0,
    fault: null as Error | null,
    signals: new Map<string, Listener[]>(),
    closed: 0,
    answering: Promise.resolve(),
    paths: new Map<string, string>(),
  };
});

function on(into: Map<string, Listener[]>) {
  return (name: string, listener: Listener) => void into.set(name, [...(into.get(name) ?? []), listener]);
}

function emit(from: Map<string, Listener[]>, name: string, ...args: unknown[]): void {
  for (const listener of from.get(name) ?? []) listener(...args);
}

vi.mock('electron', () => {
  const contents = {
    on: on(recorded.contents),
    setWindowOpenHandler: (handler: typeof recorded.openHandler) => (recorded.openHandler = handler),
  };
  class BrowserWindow {
    static getAllWindows = () => [{ isMinimized: () => true, restore: () => {}, focus: () => recorded.focused++ }];
    webContents = contents;
    once = on(recorded.window);
    show = () => {};
    constructor(options: (typeof recorded.windows)[number]) {
      recorded.windows.push(options);
      emit(recorded.app, 'web-contents-created', {}, contents);
    }
    loadURL(url: string) {
      recorded.loaded.push(url);
      return Promise.resolve();
    }
  }
  return {
    app: {
      on: on(recorded.app),
      enableSandbox: () => recorded.order.push('sandbox'),
      setPath: (name: string, path: string) => void recorded.paths.set(name, path),
      requestSingleInstanceLock: () => recorded.lock,
      whenReady: () => {
        recorded.order.push('ready');
        return Promise.resolve();
      },
      quit: () => recorded.order.push('quit'),
      exit: (code: number) => recorded.exits.push(code),
    },
    BrowserWindow,
    dialog: {
      showErrorBox: (_: string, text: string) => recorded.boxes.push(text),
      showMessageBoxSync: () => recorded.answers.shift(),
    },
    Menu: { setApplicationMenu: () => {} },
    protocol: {
      registerSchemesAsPrivileged: (schemes: unknown[]) => {
        recorded.order.push('scheme');
        recorded.schemes.push(...schemes);
      },
      handle: (scheme: string, handler: (request: Request) => Response) => void recorded.handlers.set(scheme, handler),
    },
    session: {
      defaultSession: {
        setPermissionRequestHandler: (handler: typeof recorded.request) => (recorded.request = handler),
        setPermissionCheckHandler: (handler: typeof recorded.check) => (recorded.check = handler),
        setDevicePermissionHandler: (handler: typeof recorded.device) => (recorded.device = handler),
        webRequest: { onBeforeRequest: (handler: typeof recorded.network) => (recorded.network = handler) },
      },
    },
    shell: {
      openExternal: (url: string) => {
        recorded.opened.push(url);
        return Promise.resolve();
      },
    },
  };
});

vi.mock('../../electron/shells/openHost.ts', () => ({
  openHost: (options: unknown) => {
    if (recorded.fault) throw recorded.fault;
    return {
      options,
      backend: {
        fetch: async (request: Request) => {
          await recorded.answering;
          const body = new ReadableStream<Uint8Array>({
            start(controller) {
              for (const part of [request.method, ' ', request.url]) controller.enqueue(new TextEncoder().encode(part));
              controller.close();
            },
          });
          return new Response(body);
        },
      },
      close: () => {
        recorded.closed++;
        return Promise.resolve();
      },
    };
  },
}));

/** @param inUseAt The library is open elsewhere, with a window at this address. */
async function startShell(inUseAt?: string): Promise<void> {
  vi.resetModules();
  const { LibraryError } = await import('../../electron/library/libraryError.ts');
  recorded.fault = inUseAt === undefined ? null : new LibraryError('library-in-use', 'open elsewhere', inUseAt);
  await import('../../electron/shells/window.ts');
  await vi.waitFor(() => expect(recorded.order).toContain(recorded.lock ? 'ready' : 'quit'));
  await new Promise((resolve) => setTimeout(resolve, 5));
}

beforeEach(() => {
  for (const map of [recorded.app, recorded.contents, recorded.window, recorded.handlers]) map.clear();
  for (const list of [recorded.order, recorded.schemes, recorded.windows, recorded.loaded, recorded.opened])
    list.length = 0;
  recorded.boxes.length = 0;
  recorded.exits.length = 0;
  Object.assign(recorded, { lock: true, closed: 0, focused: 0, answering: Promise.resolve() });
  recorded.signals.clear();
  vi.stubEnv('WETLINE_HOME', '/library');
  vi.spyOn(process, 'on').mockImplementation((name, listener) => {
    on(recorded.signals)(String(name), listener);
    return process;
  });
});

function ask(url: string, initiatorOrigin?: string, method = 'GET'): Response | Promise<Response> {
  const request = Object.assign(new Request(url, { method }), initiatorOrigin === undefined ? {} : { initiatorOrigin });
  const handler = recorded.handlers.get('wetline');
  if (!handler) throw new Error('the scheme has no handler');
  return handler(request);
}

test('the scheme is standard, secure and streaming, and told before the program is ready', async () => {
  await startShell();
  expect(recorded.order).toEqual(['scheme', 'sandbox', 'ready']);
  expect(recorded.schemes).toEqual([
    {
      scheme: 'wetline',
      privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true, codeCache: true },
    },
  ]);
});

test('one window, without rights of its own, on the one address', async () => {
  await startShell();
  expect(recorded.windows).toHaveLength(1);
  expect(recorded.windows[0].webPreferences).toMatchObject({
    sandbox: true,
    contextIsolation: true,
    nodeIntegration: false,
    webSecurity: true,
    webviewTag: false,
    preload: expect.stringMatching(/preload\.cjs$/),
  });
  expect(recorded.loaded).toEqual(['wetline://window/']);
  expect(recorded.paths.get('userData')).toBe(join('/library', 'desktop'));
});

test('the scheme streams what the backend answers', async () => {
  await startShell();
  const answer = await ask('wetline://window/api/shelf', 'wetline://window');
  expect(await answer.text()).toBe('GET wetline://window/api/shelf');
  expect((await ask('wetline://window/')).status).toBe(200);
});

test.each([
  ['a page of another site', 'wetline://window/api/shelf', 'https://ink.example'],
  ['a page without an origin', 'wetline://window/api/shelf', 'null'],
  ['another host of the scheme', 'wetline://elsewhere/api/shelf', undefined],
  ['a host that only begins alike', 'wetline://window.example/api/shelf', undefined],
])('%s is not answered', async (_, url, from) => {
  await startShell();
  expect((await ask(url, from)).status).toBe(403);
});

test('no way out: no navigation, redirection, new window or embedded view leads elsewhere', async () => {
  await startShell();
  for (const name of ['will-navigate', 'will-redirect', 'will-frame-navigate']) {
    const away = { url: 'https://ink.example/', preventDefault: vi.fn<() => void>() };
    const here = { url: 'wetline://window/#/shelf', preventDefault: vi.fn<() => void>() };
    emit(recorded.contents, name, away);
    emit(recorded.contents, name, here);
    expect([name, away.preventDefault.mock.calls.length, here.preventDefault.mock.calls.length]).toEqual([name, 1, 0]);
  }
  const webview = { preventDefault: vi.fn<() => void>() };
  emit(recorded.contents, 'will-attach-webview', webview);
  expect(webview.preventDefault).toHaveBeenCalledOnce();
  expect(recorded.openHandler?.({ url: 'wetline://window/' })).toEqual({ action: 'deny' });
});

test('no rights but to copy, and that for the window alone', async () => {
  await startShell();
  const asked = (permission: string, url = 'wetline://window/') => {
    let granted: boolean | null = null;
    recorded.request?.({ getURL: () => url }, permission, (answer) => (granted = answer));
    return granted;
  };
  const refused = ['geolocation', 'media', 'notifications', 'clipboard-read', 'openExternal', 'fileSystem', 'usb'];
  expect(refused.map((permission) => asked(permission))).toEqual(refused.map(() => false));
  expect(asked('clipboard-sanitized-write')).toBe(true);
  expect(asked('clipboard-sanitized-write', 'https://ink.example/')).toBe(false);
  expect(recorded.check?.(null, 'media', 'wetline://window/')).toBe(false);
  expect(recorded.check?.(null, 'clipboard-sanitized-write', 'https://ink.example/')).toBe(false);
  expect(recorded.device?.()).toBe(false);
});

test.each([
  ['https://ink.example/a.js', true],
  ['http://127.0.0.1:8080/', true],
  ['ws://ink.example/', true],
  ['file:///etc/hosts', true],
  ['wetline://window/api/shelf', false],
  ['blob:wetline://window/1', false],
])('nothing remote is asked for: %s', async (url, cancelled) => {
  await startShell();
  let cancel: boolean | null = null;
  recorded.network?.({ url }, (answer) => (cancel = answer.cancel));
  expect(cancel).toBe(cancelled);
});

test('a second start shows the first window and ends', async () => {
  await startShell();
  emit(recorded.app, 'second-instance');
  expect(recorded.focused).toBe(1);
  recorded.order.length = 0;
  recorded.windows.length = 0;
  recorded.lock = false;
  await startShell();
  expect(recorded.order).toEqual(['scheme', 'sandbox', 'quit']);
  expect(recorded.windows).toEqual([]);
});

/** @returns whether it was held up */
function holdsUp(from: Map<string, Listener[]>, name: string): boolean {
  const event = { preventDefault: vi.fn<() => void>() };
  emit(from, name, event);
  return event.preventDefault.mock.calls.length > 0;
}

test('the program ends only when jobs and library are closed, and these once its windows are', async () => {
  await startShell();
  // Before any window is closed: what it sends as it is left must still find the library.
  expect([holdsUp(recorded.app, 'before-quit'), recorded.closed]).toEqual([false, 0]);
  expect(holdsUp(recorded.app, 'will-quit')).toBe(true);
  await vi.waitFor(() => expect(recorded.order.at(-1)).toBe('quit'));
  expect(recorded.closed).toBe(1);
  expect(holdsUp(recorded.app, 'will-quit')).toBe(false);
  expect(recorded.closed).toBe(1);
});

test('what the window sent as it was left is done before the library is closed', async () => {
  await startShell();
  let answer: () => void = () => undefined;
  recorded.answering = new Promise((resolve) => (answer = resolve));
  const edited = ask('wetline://window/api/inks/1/edits', 'wetline://window', 'POST');
  void ask('wetline://window/api/events', 'wetline://window');
  emit(recorded.app, 'will-quit', { preventDefault: () => undefined });
  await new Promise((resolve) => setTimeout(resolve, 5));
  expect(recorded.closed).toBe(0);
  answer();
  expect((await edited).status).toBe(200);
  await vi.waitFor(() => expect(recorded.closed).toBe(1));
});

test('while something is not saved, the window asks before it is left; told to stop, it quits without', async () => {
  await startShell();
  const leaves = (): boolean => holdsUp(recorded.contents, 'will-prevent-unload');
  recorded.answers = [0, 1];
  expect([leaves(), leaves(), recorded.answers]).toEqual([false, true, []]);
  recorded.order.length = 0;
  emit(recorded.signals, 'SIGTERM');
  expect(recorded.order).toEqual(['quit']);
  expect(leaves()).toBe(true);
});

test('a library that is open in a browser: its window is opened instead', async () => {
  await startShell('http://127.0.0.1:4100/?token=t');
  expect(recorded.opened).toEqual(['http://127.0.0.1:4100/?token=t']);
  expect(recorded.exits).toEqual([0]);
  expect(recorded.windows).toEqual([]);
});

test('a library that cannot be opened: said in a box, and an address that is none of ours is not opened', async () => {
  await startShell('https://ink.example/');
  expect(recorded.opened).toEqual([]);
  expect(recorded.boxes).toEqual(['open elsewhere']);
  expect(recorded.exits).toEqual([1]);
});
