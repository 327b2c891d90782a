/** Server-sent events out of a stream of bytes; by fetch, since EventSource knows no custom schemes. */
import { createParser } from 'eventsource-parser';
import type { WindowEvent } from '../../electron/backend/api.ts';

const NAMES: readonly string[] = ['work', 'shelf', 'job', 'findings'] satisfies WindowEvent['event'][];

/** Null: an event that this window does not know (a newer backend's). */
export function parseEvent(data: string): WindowEvent | null {
  let value: WindowEvent | null;
  try {
    value = JSON.parse(data);
  } catch {
    return null;
  }
  return value !== null && typeof value === 'object' && NAMES.includes(value.event) ? value : null;
}

/**
 * Reads until the stream ends.
 * @param onAlive Called at every sign of life, comments too.
 */
export async function readEvents(
  body: ReadableStream<Uint8Array>,
  onEvent: (event: WindowEvent) => void,
  onAlive: () => void,
): Promise<void> {
  const parser = createParser({
    onEvent: ({ data }) => {
      const event = parseEvent(data);
      if (event) onEvent(event);
    },
  });
  const decoder = new TextDecoder();
  const reader = body.getReader();
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    onAlive();
    parser.feed(decoder.decode(value, { stream: true }));
  }
}
