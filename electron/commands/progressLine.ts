/** What only a person who watches is told: one line that is rewritten while work goes on, and what was written in the end. */
import { complain, oneLine } from './terminal.ts';
import type { Terminal } from './terminal.ts';

const CLEAR = '\r\u001b[2K';
const WIDEST = 78;
const LETTERS = new Intl.Segmenter();

export interface ProgressLine {
  readonly show: (done: number, total: number, what: string) => void;
  /** Takes the line away, before anything else is written. */
  readonly clear: () => void;
}

export function progressLine(terminal: Terminal, quiet: boolean): ProgressLine {
  if (quiet || !terminal.watched) return { show: () => undefined, clear: () => undefined };
  let shown = false;
  return {
    show(done, total, what) {
      // A line that runs over its end is two lines, of which only the last can be taken away.
      const width = Math.min(WIDEST, (terminal.columns ?? Infinity) - 1);
      terminal.err(`${CLEAR}${cut(oneLine(`${done} of ${total}  ${what}`), width)}`);
      shown = true;
    },
    clear() {
      if (shown) terminal.err(CLEAR);
      shown = false;
    },
  };
}

/** As much as fits into so many columns; letters beyond Latin may take two. */
function cut(text: string, columns: number): string {
  let left = columns;
  return [...LETTERS.segment(text)]
    .filter(({ segment }) => {
      left -= /[\u{1100}-\u{10ffff}]/u.test(segment) ? 2 : 1;
      return left >= 0;
    })
    .map(({ segment }) => segment)
    .join('');
}

/** For a person who watches, once the progress is gone: otherwise nothing would say that it was for something. */
export function tellWritten(terminal: Terminal, quiet: boolean, written: readonly string[]): void {
  if (terminal.watched && !quiet && written.length > 0) complain(terminal, `wrote ${written.join(', ')}.`);
}
