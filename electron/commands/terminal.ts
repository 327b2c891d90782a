/** Where the command line speaks to: given to the commands, so that tests can listen. */

export interface Terminal {
  /** What was asked for, and nothing else: it may be piped into another program. */
  out(text: string): void;
  /** Messages to the person. */
  err(text: string): void;
  /** Whether a person watches the messages as they come. */
  readonly watched: boolean;
}

export function processTerminal(): Terminal {
  for (const stream of [process.stdout, process.stderr]) stream.on('error', ignoreClosedPipe);
  return {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    watched: process.stderr.isTTY,
  };
}

/** Whoever reads may have seen enough (`wetline measure … | head`): what is left is said to nobody, and that is no fault. */
function ignoreClosedPipe(error: NodeJS.ErrnoException): void {
  if (error.code !== 'EPIPE') throw error;
}

/** Words from files, kept to one line and without control characters that a terminal would obey. */
export function oneLine(text: string): string {
  return text.replaceAll(/[\p{Cc}\u2028\u2029]+/gu, ' ').trim();
}

export function complain(terminal: Terminal, message: string): void {
  terminal.err(`wetline: ${oneLine(message)}\n`);
}
