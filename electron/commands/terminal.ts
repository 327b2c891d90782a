/** Where the command line speaks to: given to the commands, so that tests can listen. */

export interface Terminal {
  /** What was asked for, and nothing else: it may be piped into another program. */
  out(text: string): void;
  /** Messages to the person. */
  err(text: string): void;
  /** Whether a person watches the messages as they come. */
  readonly watched: boolean;
  /** Letters in a line of the messages, as far as the system tells. */
  readonly columns?: number | undefined;
}

export function processTerminal(): Terminal {
  const terminal: Terminal = {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    watched: process.stderr.isTTY,
    // A window that is pulled narrower while work goes on.
    get columns() {
      return process.stderr.columns;
    },
  };
  // Messages that nobody can be told are no reason to lose the results.
  process.stderr.on('error', () => undefined);
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    // Whoever reads may have seen enough (`wetline measure … | head`): what is left is said to nobody, and that is no fault.
    if (error.code === 'EPIPE') return;
    const why = error.code === 'ENOSPC' ? 'the disk is full' : `it cannot be written (${error.code ?? error.message})`;
    complain(
      terminal,
      `standard output: ${why}; the results are lost. Send them elsewhere, or write files with --out.`,
    );
    process.exit(2);
  });
  return terminal;
}

/** Words from files, kept to one line and without control characters that a terminal would obey. */
export function oneLine(text: string): string {
  return text.replaceAll(/[\p{Cc}\u2028\u2029]+/gu, ' ').trim();
}

export function complain(terminal: Terminal, message: string): void {
  terminal.err(`wetline: ${oneLine(message)}\n`);
}
