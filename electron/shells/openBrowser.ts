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
    const settle = (opened: boolean): void => {
      clearTimeout(timer);
      child.unref();
      resolve(opened);
    };
    // The process is held until then: with nothing else to wait for, it would end in the middle of this.
    const timer = setTimeout(() => settle(true), 2000);
    child.once('error', () => settle(false));
    // xdg-open ends at once with an error when it finds no browser, and may stay for as long as the browser otherwise.
    child.once('exit', (code) => settle(code === 0));
  });
}
