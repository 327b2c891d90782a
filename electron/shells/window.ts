/**
 * The desktop shell: Electron shows the window and hands each of its requests to the backend. All that is here is the
 * wiring; what it must hold (no remote content, no rights, no way out) is checked in tests/shells/window.test.ts.
 */
import { app, BrowserWindow, dialog, Menu, protocol, session, shell } from 'electron';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { LibraryError } from '../library/libraryError.ts';
import { libraryFolder } from './libraryFolder.ts';
import { type OpenedHost, openHost } from './openHost.ts';
import { utilityJobs } from './utilityJobs.ts';

const SCHEME = 'wetline';
const ORIGIN = `${SCHEME}://window`;
const HERE = dirname(fileURLToPath(import.meta.url));
/** L* 50, as the surround of a scan: nothing flashes before the page is there. */
const SURROUND = '#777777';

protocol.registerSchemesAsPrivileged([
  {
    scheme: SCHEME,
    privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true, codeCache: true },
  },
]);
app.enableSandbox();

/** By a signal: nobody may be there to be asked. */
let isToldToStop = false;
/** What the window has sent to be done, until it is answered. */
const underWay = new Set<Promise<Response>>();
/** How long that is waited for at the end; a change takes a few ms. */
const LAST_ANSWERS_MS = 2000;
const folder = libraryFolder(undefined);
// One window a library: the lock lies with the profile, so the profile lies with the library.
app.setPath('userData', join(folder, 'desktop'));
app.on('web-contents-created', (_, contents) => {
  const stayHere = (event: Electron.Event<{ readonly url: string }>) => {
    if (!isOurs(event.url)) event.preventDefault();
  };
  contents.on('will-navigate', stayHere);
  contents.on('will-redirect', stayHere);
  contents.on('will-frame-navigate', stayHere);
  contents.on('will-attach-webview', (event) => event.preventDefault());
  // Else the window stays open without a word when something is not saved yet.
  contents.on('will-prevent-unload', (event) => {
    if (isToldToStop || leavesAllTheSame()) event.preventDefault();
  });
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
});

if (app.requestSingleInstanceLock()) {
  app.on('second-instance', () => {
    const [open] = BrowserWindow.getAllWindows();
    if (open?.isMinimized()) open.restore();
    open?.focus();
  });
  void app.whenReady().then(run);
} else {
  app.quit();
}

async function run(): Promise<void> {
  let host: OpenedHost;
  try {
    host = openHost({ root: join(HERE, '..', '..'), folder, shell: 'electron', startJobs: utilityJobs });
  } catch (error) {
    app.exit(await tell(error));
    return;
  }
  closeBeforeQuitting(host);
  protocol.handle(SCHEME, (request) => answer(host, request));
  denyRights();
  if (process.platform !== 'darwin') Menu.setApplicationMenu(null);
  const window = new BrowserWindow({
    width: 1440,
    height: 900,
    show: false,
    backgroundColor: SURROUND,
    webPreferences: {
      preload: join(HERE, 'preload.cjs'),
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      webSecurity: true,
      webviewTag: false,
      spellcheck: false,
    },
  });
  window.once('ready-to-show', () => window.show());
  await window.loadURL(`${ORIGIN}/`);
}

function isOurs(url: string): boolean {
  return url === ORIGIN || url.startsWith(`${ORIGIN}/`);
}

/** Electron says who asks (`initiatorOrigin`, which no page can forge); absent when it is the window itself that loads. */
function answer(host: OpenedHost, request: Request): Response | Promise<Response> {
  const asking = 'initiatorOrigin' in request ? request.initiatorOrigin : undefined;
  if (isOurs(request.url) && (asking === undefined || asking === ORIGIN)) {
    const answered = Promise.resolve(host.backend.fetch(request));
    if (request.method === 'GET') return answered;
    underWay.add(answered);
    return answered.finally(() => underWay.delete(answered));
  }
  return Response.json({ code: 'strange-address', message: 'Only the window itself may ask.' }, { status: 403 });
}

function denyRights(): void {
  const { defaultSession } = session;
  // To copy a figure at the person's own press is the only right that the page is given.
  const may = (permission: string, from: string) => permission === 'clipboard-sanitized-write' && isOurs(from);
  defaultSession.setPermissionRequestHandler((contents, permission, decide) =>
    decide(may(permission, contents.getURL())),
  );
  defaultSession.setPermissionCheckHandler((_, permission, from) => may(permission, from));
  defaultSession.setDevicePermissionHandler(() => false);
  defaultSession.webRequest.onBeforeRequest((request, decide) => {
    decide({ cancel: !/^(wetline|devtools|blob|data):/.test(request.url) });
  });
}

/** Asks. */
function leavesAllTheSame(): boolean {
  const answer = dialog.showMessageBoxSync({
    type: 'question',
    message: 'A change is not saved yet, or files are still on their way.',
    detail: 'Leave all the same?',
    buttons: ['Stay', 'Leave'],
    defaultId: 0,
    cancelId: 0,
  });
  return answer === 1;
}

/**
 * Once all windows are closed: one that is left by quitting still sends what stands in its fields, and asks when something is not saved
 * ('before-quit' comes before that).
 */
function closeBeforeQuitting(host: OpenedHost): void {
  let isClosed = false;
  app.on('window-all-closed', () => app.quit());
  app.on('will-quit', (event) => {
    if (isClosed) return;
    event.preventDefault();
    void lastAnswers()
      .then(() => host.close())
      .finally(() => {
        isClosed = true;
        app.quit();
      });
  });
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      isToldToStop = true;
      app.quit();
    });
  }
}

async function lastAnswers(): Promise<void> {
  const late = new Promise((resolve) => void setTimeout(resolve, LAST_ANSWERS_MS));
  await Promise.race([Promise.allSettled(underWay), late]);
}

/** A library that is open in a browser already: its window is shown instead. @returns the exit code */
async function tell(error: unknown): Promise<number> {
  if (error instanceof LibraryError && error.url?.startsWith('http://127.0.0.1:')) {
    await shell.openExternal(error.url);
    return 0;
  }
  dialog.showErrorBox('Wetline', error instanceof Error ? error.message : String(error));
  return 1;
}
