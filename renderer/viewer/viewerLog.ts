/**
 * What the engine of the viewer tells its developers, without tiles that nobody waits for any more: those of a scan that was removed or
 * left while they were on their way. Of a tile that cannot be had the browser itself tells address and answer.
 */

const GIVEN_UP = ['Tile %s failed to load', 'Ignoring tile %s loaded before reset'];

type Log = (text: unknown, ...more: readonly unknown[]) => void;

export function withoutGivenUp(log: Log): Log {
  return (text, ...more) => {
    if (!GIVEN_UP.some((words) => String(text).startsWith(words))) log(text, ...more);
  };
}

/** For the engine in its console's place; it asks for no more than the browser's own does. */
export function viewerLog(): Pick<Console, 'assert' | 'error' | 'info' | 'log' | 'warn'> {
  return {
    assert: console.assert.bind(console),
    error: withoutGivenUp(console.error.bind(console)),
    info: console.info.bind(console),
    log: console.log.bind(console),
    warn: withoutGivenUp(console.warn.bind(console)),
  };
}
