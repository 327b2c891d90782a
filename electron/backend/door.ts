/** What comes in is checked here once, and typed from then on. */
import type { Context } from 'hono';
import { z } from 'zod';
import { schemaMessage } from '../sheet/schemaMessage.ts';
import { Refusal } from './refusal.ts';

/** A request's JSON is a few kilobytes; only a folder of thousands of names comes near this. */
const MOST_JSON_BYTES = 8 * 1024 * 1024;

/** The body as the schema has it. @throws Refusal */
export async function bodyOf<T>(c: Context, schema: z.ZodType<T>): Promise<T> {
  const text = await bodyText(c);
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new Refusal(400, 'bad-json', `${c.req.method} ${c.req.path}: the body is no JSON; expected a JSON object.`);
  }
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  throw new Refusal(400, 'bad-request', `${c.req.path}: ${schemaMessage(schema, value, result.error)}`);
}

/** The query as the schema has it; each name once. @throws Refusal */
export function queryOf<T>(c: Context, schema: z.ZodType<T>): T {
  const value = c.req.query();
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  throw new Refusal(400, 'bad-request', `${c.req.path}: ${schemaMessage(schema, value, result.error)}`);
}

/** A path's part that counts something. @throws Refusal */
export function wholeOf(c: Context, name: string): number {
  const text = c.req.param(name) ?? '';
  if (/^\d{1,9}$/.test(text)) return Number(text);
  throw new Refusal(400, 'bad-request', `${c.req.path}: "${text}" is no ${name}; expected a whole number.`);
}

/** A path's part that is a name (the router has decoded it already). */
export function nameOf(c: Context, name: string): string {
  return c.req.param(name) ?? '';
}

const asNumber = (text: unknown): unknown => (typeof text === 'string' && text.trim() !== '' ? Number(text) : text);

/** A number in a query. */
export const number = z.preprocess(asNumber, z.number());
export const positive = z.preprocess(asNumber, z.number().positive());

/** A text of at least one sign that is no space. */
export const words = z.string().trim().min(1).max(500);

/** A name of a request's own: sent once more because no answer came, it is carried out once. */
export const requestName = z.string().min(1).max(100).optional();

async function bodyText(c: Context): Promise<string> {
  const stated = Number(c.req.header('content-length') ?? 0);
  if (stated > MOST_JSON_BYTES) throw tooLarge(c, stated);
  const parts: Uint8Array[] = [];
  let bytes = 0;
  for await (const part of c.req.raw.body ?? []) {
    bytes += part.byteLength;
    if (bytes > MOST_JSON_BYTES) throw tooLarge(c, bytes);
    parts.push(part);
  }
  return Buffer.concat(parts).toString('utf8');
}

function tooLarge(c: Context, bytes: number): Refusal {
  return new Refusal(
    413,
    'too-large',
    `${c.req.path}: a body of ${bytes} bytes; expected at most ${MOST_JSON_BYTES}. Send fewer things at once.`,
  );
}
