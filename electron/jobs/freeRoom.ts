/**
 * Gives back the room of pixels that nobody holds any more. The collector looks at what its own heap holds, which is little
 * beside the pixels that hang on it, and would let hundreds of megabytes of them wait.
 */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

let collect: (() => void) | null = null;

/** Some milliseconds: for moments at which much has just been let go. */
export function freeRoom(): void {
  collect ??= collector();
  collect();
}

function collector(): () => void {
  setFlagsFromString('--expose-gc');
  const gc: unknown = runInNewContext('globalThis.gc');
  return typeof gc === 'function' ? () => void gc() : () => {};
}
