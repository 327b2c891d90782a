/** The window in the person's browser, until the program is told to stop. */
import { openBrowser } from './openBrowser.ts';
import { openHost } from './openHost.ts';
import { serveBrowser } from './serveBrowser.ts';

export interface BrowserRun {
  readonly root: string;
  readonly folder: string;
  /** Why not the desktop window, as the end of a sentence. */
  readonly why: string;
  readonly port: number;
  readonly open: boolean;
  readonly say: (line: string) => void;
}

/** @returns the exit code. @throws ShellError, LibraryError */
export async function runBrowser({ root, folder, why, port, open, say }: BrowserRun): Promise<number> {
  const stop = stopSignal();
  const host = openHost({ root, folder, shell: 'browser' });
  try {
    const served = await serveBrowser(host.backend, { port, leftAt: host.library.leftAt });
    host.library.announce({ url: served.url });
    say(`Wetline's window ${open ? 'is in your' : 'waits for a'} browser, ${why}: ${served.url}`);
    say(`Library: ${folder}   (Ctrl+C ends the program)`);
    if (open && !(await openBrowser(served.url))) {
      say('No browser could be opened from here: open the address above yourself.');
    }
    await stop;
    say('Ending: what was done is kept.');
    await served.close();
  } finally {
    await host.close();
  }
  return 0;
}

/** npm passes on a Ctrl+C that the terminal has sent to everyone already: two in a row are one. */
const ONE_PRESS_MS = 1000;

/** Resolves when the program is told to stop; told again, it ends on the spot. */
function stopSignal(): Promise<void> {
  return new Promise((resolve) => {
    let toldAt: number | null = null;
    const hear = () => {
      if (toldAt !== null && performance.now() - toldAt > ONE_PRESS_MS) process.exit(130);
      toldAt ??= performance.now();
      resolve();
    };
    process.on('SIGINT', hear);
    process.on('SIGTERM', hear);
    process.on('SIGHUP', hear);
  });
}
