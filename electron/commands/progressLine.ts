/** One line that is rewritten while work goes on; only for a person who watches. */
import { oneLine } from './terminal.ts';
import type { Terminal } from './terminal.ts';

const CLEAR = '\r\u001b[2K';
const WIDTH = 78;

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
      terminal.err(`${CLEAR}${oneLine(`${done} of ${total}  ${what}`).slice(0, WIDTH)}`);
      shown = true;
    },
    clear() {
      if (shown) terminal.err(CLEAR);
      shown = false;
    },
  };
}
