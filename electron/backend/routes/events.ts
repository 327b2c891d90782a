/** What happens, as it happens: server-sent events, one JSON object each. */
import { Hono } from 'hono';
import { streamSSE } from 'hono/streaming';
import type { WindowEvent } from '../api.ts';
import type { Host } from '../host.ts';

/** Whatever lies between may close a connection that is silent for long. */
const HEARTBEAT_MS = 15_000;

export function eventRoutes({ library, measuring }: Host, heartbeatMs = HEARTBEAT_MS): Hono {
  return new Hono().get('/events', (c) => {
    c.header('cache-control', 'no-store');
    return streamSSE(c, async (stream) => {
      const tell = (event: WindowEvent) => void stream.writeSSE({ data: JSON.stringify(event) });
      const unsubscribe = [
        library.onChange(({ ink, revision }) => {
          if (ink !== null) tell({ event: 'work', ink, revision });
          // A change of an ink changes its card.
          tell({ event: 'shelf' });
        }),
        measuring.onEvent(tell),
      ];
      // The first bytes tell the window that it hears; what it missed before, it reads anew.
      await stream.write(': here\n\n');
      const beat = setInterval(() => void stream.write(': here\n\n'), heartbeatMs);
      await new Promise<void>((resolve) => {
        stream.onAbort(resolve);
      });
      clearInterval(beat);
      for (const end of unsubscribe) end();
    });
  });
}
