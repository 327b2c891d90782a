/** `npm start -- …`: what a person may say, checked. */
import { parseArgs } from 'node:util';
import { ShellError } from './shellError.ts';

export interface StartOptions {
  readonly help: boolean;
  /** What asks for the browser shell even where Electron is here; null: nothing does. */
  readonly browser: '--browser' | '--no-open' | '--port' | null;
  readonly open: boolean;
  /** 0: any free one. */
  readonly port: number;
  readonly library: string | undefined;
}

export const START_HELP = `npm start -- [options]

  --browser        the window in your browser, even where Electron is here
  --no-open        print the address and open nothing
  --port N         the browser window's port; left out: any free one
  --library DIR    the folder of your inks and scans; also WETLINE_HOME; left out: your system's data folder
`;

/** @throws ShellError */
export function startOptions(args: readonly string[]): StartOptions {
  const { browser, open, port, library, help } = parsed(args);
  // Mostly a variable of the shell that is not set; any other folder would be the wrong one.
  if (library === '')
    throw new ShellError(
      'bad-option',
      '--library names no folder; expected --library DIR. Leave it out for the usual one.',
    );
  // A desktop window has neither a port nor a way not to be opened.
  const asked = browser ? '--browser' : open === false ? '--no-open' : port !== undefined ? '--port' : null;
  return { help: help ?? false, browser: asked, open: open ?? true, port: portOf(port), library };
}

function parsed(args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      allowNegative: true,
      options: {
        browser: { type: 'boolean' },
        open: { type: 'boolean' },
        port: { type: 'string' },
        library: { type: 'string' },
        help: { type: 'boolean', short: 'h' },
      },
    }).values;
  } catch (error) {
    const what = error instanceof Error ? error.message.split('. ')[0] : String(error);
    throw new ShellError('bad-option', `${what}; expected --browser, --no-open, --port N or --library DIR.`);
  }
}

function portOf(text: string | undefined): number {
  if (text === undefined) return 0;
  const port = Number(text);
  if (/^\d+$/.test(text) && port <= 65_535) return port;
  throw new ShellError('bad-port', `--port ${text}: no port; expected a whole number from 1 to 65535.`);
}
