/** A sheet with all its files as one zip, streamed from the disk: `wetline measure` takes it as it is once unpacked. */
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { makeZip, predictLength } from 'client-zip';
import type { Sheet } from '../sheet/sheetSchema.ts';
import { sheetText } from '../sheet/sheetText.ts';
import { Refusal } from './refusal.ts';

interface Named {
  /** In the zip, as the sheet names it. */
  readonly name: string;
  readonly path: string;
}

export async function sheetZip(
  sheet: Sheet,
  files: readonly Named[],
): Promise<{ readonly body: ReadableStream<Uint8Array>; readonly bytes: bigint }> {
  const text = new TextEncoder().encode(sheetText(sheet));
  const entries = await Promise.all(files.map(async (file) => ({ ...file, size: await sizeOf(file) })));
  const lengths = entries.map(({ name, size }) => ({ name, size }));
  return {
    body: makeZip(contents(text, entries)),
    bytes: predictLength([{ name: 'sheet.json', size: text.length }, ...lengths]),
  };
}

/** One file is open at a time. */
async function* contents(text: Uint8Array<ArrayBuffer>, files: readonly (Named & { readonly size: number })[]) {
  yield { name: 'sheet.json', input: text, size: text.length };
  for (const { name, path, size } of files) yield { name, input: bytesOf(path), size };
}

async function* bytesOf(path: string): AsyncGenerator<Uint8Array<ArrayBuffer>> {
  for await (const part of createReadStream(path, { highWaterMark: 1024 * 1024 })) yield new Uint8Array(part);
}

async function sizeOf({ name, path }: Named): Promise<number> {
  try {
    return (await stat(path)).size;
  } catch {
    throw new Refusal(
      404,
      'file-gone',
      `${name}: its file (${basename(path).slice(0, 12)}…) is gone from the library; expected it there. Bring the same file in again, then save.`,
    );
  }
}
