/** One name for equal content, whatever order its fields were written in. */
import { createHash } from 'node:crypto';

/** SHA-256, hexadecimal, of a value as canonical JSON: keys sorted, `undefined` left out, maps as their entries. */
export function contentKey(value: unknown): string {
  return createHash('sha256').update(canonical(value)).digest('hex');
}

/** A part whose text is known: many keys hold the same calibration, which is long. */
class Known {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

const known = new WeakMap<object, Known>();

/** Stands in a key for the value itself and gives the same key, but is written out once. The value must never change. */
export function once(value: object): object {
  const before = known.get(value);
  if (before) return before;
  const made = new Known(canonical(value));
  known.set(value, made);
  return made;
}

function canonical(value: unknown): string {
  if (value instanceof Known) return value.text;
  if (typeof value === 'number' && !Number.isFinite(value)) return `"${value}"`;
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null';
  if (value instanceof Map) return `{"map":${canonical([...value])}}`;
  if (ArrayBuffer.isView(value)) {
    const bytes = new Uint8Array(value.buffer, value.byteOffset, value.byteLength);
    return `{"${value.constructor.name}":"${createHash('sha256').update(bytes).digest('hex')}"}`;
  }
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  const fields = Object.entries(value)
    .filter(([, v]) => v !== undefined)
    .toSorted(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
    .map(([k, v]) => `${JSON.stringify(k)}:${canonical(v)}`);
  return `{${fields.join(',')}}`;
}
