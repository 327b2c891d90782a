/** Whoever looks comes first: measuring takes what the window, its server and the browser leave. */
import { readFileSync, writeFileSync } from 'node:fs';
import { constants, setPriority } from 'node:os';

/**
 * Linux shares a processor among sessions first (sched(7), "The autogroup feature"): between a terminal's programs and a browser a
 * thread's own priority counts for nothing, only that of its session does.
 */
const SESSION_PRIORITY = '/proc/self/autogroup';

/** Lowers this process, and on Linux its session where that is its own: nobody else's is touched. */
export function stepBack(): void {
  const priority = constants.priority.PRIORITY_BELOW_NORMAL;
  attempt(() => setPriority(priority));
  attempt(() => {
    if (leadsItsSession()) writeFileSync(SESSION_PRIORITY, String(priority));
  });
}

/** The sixth field of its state (proc_pid_stat(5)), after a name that may hold anything: the process that its session is named for. */
function leadsItsSession(): boolean {
  const state = readFileSync('/proc/self/stat', 'utf8');
  const [, , , session] = state.slice(state.lastIndexOf(')') + 2).split(' ');
  return Number(session) === process.pid;
}

/** Where a program may not step back, or knows of no sessions, it measures at the usual pace. */
function attempt(step: () => void): void {
  try {
    step();
  } catch {
    // as said
  }
}
