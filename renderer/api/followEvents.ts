/** Keeps this window in step with the library, and says when it cannot. */
import { ApiProblem, problemIn } from './client.ts';
import { Kept, useKept } from './kept.ts';
import { readEvents } from './readEvents.ts';
import { type Connection, shareEvents, type SharedEvents } from './shareEvents.ts';
import { refreshAll, takeEvent } from './store.ts';

/** The backend says something at least every 15 s. */
const SILENCE_MS = 40_000;
const FIRST_WAIT_MS = 400;
const LONGEST_WAIT_MS = 8000;

const connection = new Kept<'events', Connection>({ state: 'connecting' });
let following = false;
let shared: SharedEvents | null = null;
let waited: (() => void) | null = null;
/** Whether what this window holds may be from before the stream is open. */
let before = false;

export function useConnection(): Connection {
  return useKept(connection, 'events');
}

/** Starts to follow; goes on for as long as the window lives. */
export function followEvents(): void {
  if (following) return;
  following = true;
  window.addEventListener('online', tryNow);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') tryNow();
  });
  shared = shareEvents({
    lead: follow,
    take: takeEvent,
    hear: (next) => {
      const isBack = before && next.state === 'open' && connection.get('events').state !== 'open';
      before = true;
      show(next);
      if (isBack) refreshAll();
    },
    now: () => connection.get('events'),
    tryNow: () => waited?.(),
  });
}

/** Ends the wait before the next try, in whichever window waits. */
export function tryNow(): void {
  waited?.();
  shared?.askToTry();
}

async function follow(): Promise<never> {
  let wait = FIRST_WAIT_MS;
  for (;;) {
    try {
      await listen(() => {
        wait = FIRST_WAIT_MS;
        // What changed while nobody listened is not told again.
        if (before) refreshAll();
        before = true;
        tell({ state: 'open' });
      });
      tell({ state: 'lost', words: 'Wetline has stopped, or the way to it is cut.' });
    } catch (error) {
      before = true;
      tell({ state: 'lost', words: lostWords(error) });
    }
    await pause(wait);
    wait = Math.min(LONGEST_WAIT_MS, wait * 1.7);
  }
}

/** @throws whatever ended the stream */
async function listen(onOpen: () => void): Promise<void> {
  const given = new AbortController();
  let silence = setTimeout(() => given.abort(), SILENCE_MS);
  const alive = (): void => {
    clearTimeout(silence);
    silence = setTimeout(() => given.abort(), SILENCE_MS);
  };
  try {
    const answer = await fetch('/api/events', { signal: given.signal, headers: { accept: 'text/event-stream' } });
    if (!answer.ok) throw new ApiProblem(await problemIn(answer), answer.status);
    if (!answer.body) return;
    onOpen();
    await readEvents(
      answer.body,
      (event) => {
        takeEvent(event);
        shared?.tellEvent(event);
      },
      alive,
    );
  } finally {
    clearTimeout(silence);
  }
}

function lostWords(error: unknown): string {
  if (error instanceof ApiProblem && (error.status === 401 || error.status === 403)) {
    return 'Wetline was started anew and does not know this window. Open the address that it printed, or start it again.';
  }
  return 'Wetline has stopped, or the way to it is cut.';
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => {
    const end = (): void => {
      clearTimeout(timer);
      waited = null;
      resolve();
    };
    const timer = setTimeout(end, ms);
    waited = end;
  });
}

function tell(next: Connection): void {
  show(next);
  shared?.tellConnection(next);
}

function show(next: Connection): void {
  if (next.state === connection.get('events').state && next.state !== 'lost') return;
  connection.put('events', next);
}
