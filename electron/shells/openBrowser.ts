/** Opens the person's own browser; never waits for it, never fails because of it. */
import { spawn } from 'node:child_process';

const COMMANDS: Partial<Record<NodeJS.Platform, readonly [string, ...string[]]>> = {
  darwin: ['open'],
  win32: ['rundll32', 'url.dll,FileProtocolHandler'],
};

/** @returns false when there was nothing to open it with. */
export async function openBrowser(url: string): Promise<boolean> {
  const [command, ...args] = COMMANDS[process.platform] ?? ['xdg-open'];
  return new Promise((resolve) => {
    const child = spawn(command, [...args, url], { detached: true, stdio: 'ignore' });
    child.once('error', () => resolve(false));
    // xdg-open ends at once with an error when it finds no browser, and may stay for as long as the browser otherwise.
    child.once('exit', (code) => resolve(code === 0));
    setTimeout(() => resolve(true), 2000).unref();
    child.unref();
  });
}
