/** Built-in layouts and references as the files that they become in the store, once somebody uses one. */
import { createHash } from 'node:crypto';
import type { TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { BUILT_IN_LAYOUTS, BUILT_IN_POINTS, BUILT_IN_REFERENCES } from '../sheet/builtIn.ts';
import { parseLayout } from '../sheet/layout.ts';
import { parseReference } from '../sheet/reference.ts';

export interface BuiltInFile {
  /** As a sheet calls it. */
  readonly name: string;
  /** In the store, and beside a sheet that is saved. */
  readonly fileName: string;
  readonly title: string;
  /** SHA-256 of the bytes, hexadecimal. */
  readonly hash: string;
  readonly bytes: Uint8Array;
}
export interface BuiltInLayout extends BuiltInFile {
  readonly layout: TargetLayout;
  /** Where its four points belong, to be read after "Put the four points on"; null: no words for it. */
  readonly points: string | null;
}
export interface BuiltInReferenceFile extends BuiltInFile {
  readonly reference: TargetReference;
}

export const BUILT_IN_LAYOUT_FILES: readonly BuiltInLayout[] = [...BUILT_IN_LAYOUTS].map(([name, layout]) => {
  const file = asFile(name, `${name}.json`, layout.name, `${JSON.stringify(layout, null, 2)}\n`);
  // As it reads when it comes back from the store.
  const read = parseLayout(new TextDecoder().decode(file.bytes), file.fileName);
  return { ...file, layout: read, points: BUILT_IN_POINTS.get(name) ?? null };
});

export const BUILT_IN_REFERENCE_FILES: readonly BuiltInReferenceFile[] = [...BUILT_IN_REFERENCES].map(
  ([name, { title, text }]) => {
    const file = asFile(name, `${name}.txt`, title, text);
    return { ...file, reference: parseReference(text, file.fileName) };
  },
);

const BY_HASH = new Map<string, BuiltInFile>(
  [...BUILT_IN_LAYOUT_FILES, ...BUILT_IN_REFERENCE_FILES].map((file) => [file.hash, file]),
);

/** Null: nothing built in has this content. */
export function builtInByHash(hash: string): BuiltInFile | null {
  return BY_HASH.get(hash) ?? null;
}

/** For a store that takes bytes as they come. */
export async function* bytesOnce(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}

function asFile(name: string, fileName: string, title: string, text: string): BuiltInFile {
  const bytes = new TextEncoder().encode(text);
  return { name, fileName, title, hash: createHash('sha256').update(bytes).digest('hex'), bytes };
}
