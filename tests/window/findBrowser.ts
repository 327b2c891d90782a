/** The browsers that tests and benches drive: one that is here, else Debian's Chromium where it can be installed. */
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';

/** The same engine without a window, tabs and menus of its own, which took the processor more than half of what a page takes. */
const HEADLESS = ['chromium-headless-shell', 'chrome-headless-shell'];
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

/**
 * A whole one, as people have it.
 * @throws Error with one line on what to do when no browser is here and none can be installed.
 */
export function findBrowser(): string {
  return browserHere(NAMES) ?? installed('chromium', NAMES);
}

/**
 * The lightest that draws the same pages.
 * @throws as `findBrowser`
 */
export function findHeadlessBrowser(): string {
  const all = [...HEADLESS, ...NAMES];
  return browserHere(all) ?? installed('chromium-headless-shell', all);
}

function installed(debianPackage: string, names: readonly string[]): string {
  if (isDebian() && process.getuid?.() === 0) {
    const apt = ['-qq', '-o', 'DPkg::Lock::Timeout=300'];
    execFileSync('apt-get', [...apt, 'update'], { stdio: 'inherit' });
    execFileSync('apt-get', [...apt, 'install', '-y', '--no-install-recommends', debianPackage], { stdio: 'inherit' });
    const found = browserHere(names);
    if (found !== null) return found;
  }
  throw new Error(
    'no Chrome, Chromium or Edge found; the tests of the window need one. ' +
      `Install one (on Debian: apt-get install ${debianPackage}) or name it in WETLINE_BROWSER, and run the tests again.`,
  );
}

function browserHere(names: readonly string[]): string | null {
  const named = process.env.WETLINE_BROWSER;
  if (named !== undefined && named !== '') return named;
  const onPath = names.flatMap((name) => (process.env.PATH ?? '').split(delimiter).map((folder) => join(folder, name)));
  return [...onPath, ...(PLACES[process.platform] ?? [])].find((file) => existsSync(file)) ?? null;
}

function isDebian(): boolean {
  return existsSync('/etc/os-release') && /^ID(_LIKE)?=.*debian/m.test(readFileSync('/etc/os-release', 'utf8'));
}
