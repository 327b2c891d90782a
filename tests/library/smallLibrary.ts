/** Libraries in folders of their own, with the sound little sheet in them; closed and removed after each test. */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach } from 'vitest';
import { Library } from '../../electron/library/library.ts';
import { openSheet } from '../../electron/library/openSheet.ts';
import { drawPng } from '../host/drawPng.ts';
import type { TestFolder } from '../host/folder.ts';
import { putFiles, soundSheet } from '../host/smallSheet.ts';

const open = new Set<Library>();
const folders = new Set<string>();
afterEach(() => {
  for (const library of open) library.close();
  open.clear();
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
  folders.clear();
});

/** An empty folder's path. */
export function newFolder(): string {
  const path = mkdtempSync(join(tmpdir(), 'wetline-library-'));
  folders.add(path);
  return path;
}

/** @param now A clock of the test's own. */
export function openLibrary(folder: string = newFolder(), now?: () => number): Library {
  const library = Library.open(folder, now ? { now } : {});
  open.add(library);
  return library;
}

export function closeLibrary(library: Library): void {
  library.close();
  open.delete(library);
}

/** The sound little sheet with its files in a folder of the test's own, changed as wished. */
export function sheetFolder(
  folder: TestFolder,
  change: (sheet: ReturnType<typeof soundSheet>) => unknown = () => undefined,
): string {
  mkdirSync(folder.path, { recursive: true });
  putFiles(folder);
  // Each its own content: the store keeps the same bytes once, and a sheet's scans are not the same sheet of paper.
  folder.put('strip.png', flatScan(220));
  folder.put('target.png', flatScan(210));
  const sheet = soundSheet();
  change(sheet);
  folder.put('sheet.json', JSON.stringify(sheet));
  return folder.path;
}

/** A library that holds the sound little sheet: scans 'white', 'strip', 'target'; regions 'bare', 'ef', 'run'. */
export async function smallLibrary(folder: TestFolder, now?: () => number): Promise<{ library: Library; ink: number }> {
  const library = openLibrary(newFolder(), now);
  const { ink } = await openSheet(library, sheetFolder(folder));
  return { library, ink };
}

/** 40 × 30 mm at 254 dpi, all of one grey. */
export function flatScan(grey: number): Buffer {
  const samples = new Uint8Array(3 * 400 * 300).fill(grey);
  return drawPng({ widthPx: 400, heightPx: 300, samples, pixelsPerMetre: [10_000, 10_000] });
}

/** Bytes as a stream of small parts. */
export async function* inParts(bytes: Uint8Array, size = 1000): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += size) yield bytes.subarray(at, at + size);
}
