/**
 * One event stream for all windows of a browser. Browsers hold six connections to one place (Chromium's and Firefox's limit for HTTP/1.1):
 * with a stream for each, the seventh window would wait without end, and no change of the other six would reach the library.
 */
import type { WindowEvent } from '../../electron/backend/api.ts';
import { parseEvent } from './readEvents.ts';

export type Connection =
  { readonly state: 'connecting' } | { readonly state: 'open' } | { readonly state: 'lost'; readonly words: string };

export interface EventSharer {
  /** Follows the stream for as long as this window lives, and tells the others. */
  readonly lead: () => Promise<unknown>;
  readonly take: (event: WindowEvent) => void;
  /** How the window that leads stands with the program. */
  readonly hear: (connection: Connection) => void;
  readonly now: () => Connection;
  readonly tryNow: () => void;
}

export interface SharedEvents {
  tellEvent(event: WindowEvent): void;
  tellConnection(connection: Connection): void;
  askToTry(): void;
}

const NAME = 'wetline-events';

/** The first window leads; when it is closed, however that is, the browser hands the lock to the next. */
export function shareEvents({ lead, take, hear, now, tryNow }: EventSharer): SharedEvents {
  const channel = new BroadcastChannel(NAME);
  const post = (message: object): void => BroadcastChannel.prototype.postMessage.call(channel, message);
  let leads = false;
  const tellConnection = (connection: Connection): void =>
    post({
      tells: 'connection',
      text: connection.state,
      words: 'words' in connection ? connection.words : '',
    });
  channel.addEventListener('message', ({ data }: MessageEvent<unknown>) => {
    if (leads) {
      if (field(data, 'asks') === 'connection') tellConnection(now());
      if (field(data, 'asks') === 'try') tryNow();
      return;
    }
    const event = field(data, 'tells') === 'event' ? parseEvent(field(data, 'text')) : null;
    if (event) take(event);
    const connection =
      field(data, 'tells') === 'connection' ? connectionOf(field(data, 'text'), field(data, 'words')) : null;
    if (connection) hear(connection);
  });
  post({ asks: 'connection' });
  void navigator.locks.request(NAME, () => {
    leads = true;
    return lead();
  });
  return {
    tellEvent: (event) => post({ tells: 'event', text: JSON.stringify(event) }),
    tellConnection,
    askToTry: () => post({ asks: 'try' }),
  };
}

function field(data: unknown, name: string): string {
  const value: unknown = data !== null && typeof data === 'object' ? Reflect.get(data, name) : null;
  return typeof value === 'string' ? value : '';
}

function connectionOf(state: string, words: string): Connection | null {
  if (state === 'lost') return { state, words };
  return state === 'open' || state === 'connecting' ? { state } : null;
}
