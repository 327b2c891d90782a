/** `npm start`: the desktop window where Electron's program is here, else the window in the person's browser. */
import { LibraryError } from '../library/libraryError.ts';
import { faultWords } from './faultWords.ts';
import { findElectron } from './findElectron.ts';
import { libraryFolder } from './libraryFolder.ts';
import { openBrowser } from './openBrowser.ts';
import { runBrowser } from './runBrowser.ts';
import { runElectron } from './runElectron.ts';
import { START_HELP, startOptions } from './startOptions.ts';

/**
 * @param root The project's folder, with what was built.
 * @returns the exit code, once the window is closed or the program is told to stop.
 */
export async function start(args: readonly string[], root: string): Promise<number> {
  // Whoever read along may leave: a terminal that is closed does not end the window.
  for (const output of [process.stdout, process.stderr]) output.on('error', () => {});
  try {
    const options = startOptions(args);
    if (options.help) {
      say(START_HELP.trimEnd());
      return 0;
    }
    const folder = libraryFolder(options.library);
    let why = `as asked with ${options.browser}`;
    if (options.browser === null) {
      const electron = findElectron(root);
      if (electron.program !== null) {
        say('Opening the desktop window: Electron is here.');
        const ended = await runElectron(electron.program, root, folder);
        if (ended.opened) return ended.code;
        why = `since Electron ended at once (${ended.how})`;
      } else {
        why = `since ${electron.why}`;
      }
    }
    return await runBrowser({ root, folder, why, port: options.port, open: options.open, say });
  } catch (error) {
    return await toldInWords(error, args.includes('--no-open'));
  }
}

async function toldInWords(error: unknown, quiet: boolean): Promise<number> {
  if (error instanceof LibraryError && error.code === 'library-in-use' && error.url !== null) {
    say(error.message);
    say(`Its window: ${error.url}`);
    if (!quiet) await openBrowser(error.url);
    return 0;
  }
  process.stderr.write(faultWords(error));
  return 2;
}

function say(line: string): void {
  process.stdout.write(`${line}\n`);
}
