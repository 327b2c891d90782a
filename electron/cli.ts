/** The command line: finds the command, and turns whatever goes wrong into one line and an exit code. */
import { Interrupted } from './commands/interrupt.ts';
import { complain, processTerminal } from './commands/terminal.ts';
import type { Terminal } from './commands/terminal.ts';
import { HELP, UsageError } from './commands/usage.ts';
import { version } from './commands/version.ts';
import { OutputError } from './files/writeWhole.ts';
import { JobError } from './jobs/jobError.ts';
import { didYouMean } from './nearestWord.ts';
import { ScanError } from './scans/scanError.ts';
import { SheetError } from './sheet/sheetError.ts';

type Command = (args: readonly string[], terminal: Terminal) => Promise<number>;

/** Loaded when asked for: looking at a file should not wait for all that measures. */
const COMMANDS: ReadonlyMap<string, () => Promise<Command>> = new Map([
  ['measure', async () => (await import('./commands/measure.ts')).measure],
  ['calibrate', async () => (await import('./commands/calibrate.ts')).calibrate],
  ['card', async () => (await import('./commands/card.ts')).card],
  ['teach', async () => (await import('./commands/teach.ts')).teach],
  ['check', async () => (await import('./commands/check.ts')).check],
]);

/** As shells count it: 128 + the number of SIGINT. */
const STOPPED = 130;

/** @returns the exit code: 0 all done, 1 some could not be done, 2 nothing could, 130 stopped. */
export async function main(argv: readonly string[], terminal: Terminal = processTerminal()): Promise<number> {
  const debug = argv.includes('--debug');
  const [name, ...args] = argv.filter((arg) => arg !== '--debug');
  try {
    if (name === undefined || name === 'help' || name === '--help' || name === '-h' || args.some(asksForHelp)) {
      terminal.out(HELP);
      return 0;
    }
    if (name === '--version') {
      terminal.out(`${await version()}\n`);
      return 0;
    }
    const command = COMMANDS.get(name);
    if (!command) {
      const known = [...COMMANDS.keys(), 'help'];
      if (name.startsWith('-') && args.some((arg) => COMMANDS.has(arg)))
        throw new UsageError(`${name} stands before the command; expected the command first, then its options.`);
      throw new UsageError(`unknown command "${name}"; expected ${known.join(', ')}${didYouMean(name, known) || '.'}`);
    }
    return await (
      await command()
    )(args, terminal);
  } catch (error) {
    if (error instanceof Interrupted) {
      complain(terminal, 'stopped; nothing is half-written.');
      return STOPPED;
    }
    complain(terminal, inWords(error));
    if (debug && error instanceof Error) terminal.err(`${error.stack ?? ''}\n`);
    return 2;
  }
}

function asksForHelp(arg: string): boolean {
  return arg === '--help' || arg === '-h';
}

function inWords(error: unknown): string {
  const known = [UsageError, SheetError, JobError, ScanError, OutputError];
  if (known.some((kind) => error instanceof kind) && error instanceof Error) return error.message;
  const what = error instanceof Error ? error.message : String(error);
  return `unexpected: ${what.replace(/\.$/, '')}. This is a defect of the program; --debug tells where.`;
}
