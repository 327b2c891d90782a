/** The browser that the window's tests drive: one that is here, else Debian's Chromium where it can be installed. */
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';

const NAMES = [
  'google-chrome',
  'google-chrome-stable',
  'chromium',
  'chromium-browser',
  'microsoft-edge',
  'microsoft-edge-stable',
];

const PLACES: Partial<Record<NodeJS.Platform, readonly string[]>> = {
  darwin: [
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    '/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
  ],
  win32: ['PROGRAMFILES', 'PROGRAMFILES(X86)', 'LOCALAPPDATA'].flatMap((name) => {
    const folder = process.env[name];
    return folder === undefined
      ? []
      : [
          join(folder, 'Google', 'Chrome', 'Application', 'chrome.exe'),
          join(folder, 'Chromium', 'Application', 'chrome.exe'),
          join(folder, 'Microsoft', 'Edge', 'Application', 'msedge.exe'),
        ];
  }),
};

/** @throws Error with one line on what to do when no browser is here and none can be installed. */
export function findBrowser(): string {
  const here = browserHere();
  if (here !== null) return here;
  if (isDebian() && process.getuid?.() === 0) {
    const apt = ['-qq', '-o', 'DPkg::Lock::Timeout=300'];
    execFileSync('apt-get', [...apt, 'update'], { stdio: 'inherit' });
    execFileSync('apt-get', [...apt, 'install', '-y', '--no-install-recommends', 'chromium'], { stdio: 'inherit' });
    const installed = browserHere();
    if (installed !== null) return installed;
  }
  throw new Error(
    'no Chrome, Chromium or Edge found; the tests of the window need one. ' +
      'Install one (on Debian: apt-get install chromium) or name it in WETLINE_BROWSER, and run the tests again.',
  );
}

function browserHere(): string | null {
  const named = process.env.WETLINE_BROWSER;
  if (named !== undefined && named !== '') return named;
  const onPath = (process.env.PATH ?? '').split(delimiter).flatMap((folder) => NAMES.map((name) => join(folder, name)));
  return [...onPath, ...(PLACES[process.platform] ?? [])].find((file) => existsSync(file)) ?? null;
}

function isDebian(): boolean {
  return existsSync('/etc/os-release') && /^ID(_LIKE)?=.*debian/m.test(readFileSync('/etc/os-release', 'utf8'));
}
