/** Results on their way into the library and back: typed arrays, maps and all. */
import { promisify } from 'node:util';
import { deserialize, serialize } from 'node:v8';
import { deflate, inflate, constants } from 'node:zlib';

const deflated = promisify(deflate);
const inflated = promisify(inflate);

/** Quick rather than small: masks shrink to a few per cent at any level. Off the main thread. */
export async function pack(value: unknown): Promise<Uint8Array> {
  return deflated(serialize(value), { level: constants.Z_BEST_SPEED });
}

/** @throws when the bytes are not what `pack` made */
export async function unpack(bytes: Uint8Array): Promise<unknown> {
  return deserialize(await inflated(bytes));
}
