/** Where a file lies that a sheet names: an é is one letter on one system and two on another, and looks the same on both. */
import { existsSync, readdirSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';

/** @param name relative to the folder, or absolute @returns its path, absolute; of one that is not there, the path that it would have */
export function placeOf(folder: string, name: string): string {
  const place = resolve(folder, name);
  // Plain letters have one form only.
  if (/^[\0-\x7f]*$/.test(name) || existsSync(place)) return place;
  return spelledOtherwise(place) ?? place;
}

function spelledOtherwise(place: string): string | null {
  if (existsSync(place)) return place;
  if (dirname(place) === place) return null;
  const folder = spelledOtherwise(dirname(place));
  if (folder === null) return null;
  const wanted = basename(place).normalize('NFC');
  const found = namesIn(folder).find((one) => one.normalize('NFC') === wanted);
  return found === undefined ? null : join(folder, found);
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}
