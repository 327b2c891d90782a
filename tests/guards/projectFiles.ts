/** The project's own files, as its guards see them. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';

export const ROOT = join(import.meta.dirname, '..', '..');

const SOURCE_FOLDERS = ['analysis', 'electron', 'bin', 'sample-scans', 'tests', 'bench', 'study'];

/** Paths of all TypeScript and JavaScript sources under some folders, relative to the project and with '/'. */
export function sources(folders: readonly string[] = SOURCE_FOLDERS): string[] {
  return folders.flatMap((folder) => filesUnder(folder)).filter((file) => /\.[mc]?[tj]s$/.test(file));
}

/** Of the window's pages alone. */
export function windowSources(): string[] {
  return filesUnder('renderer').filter((file) => /\.tsx?$/.test(file));
}

/** Pages for readers: those at the root and all of docs/. */
export function pages(): string[] {
  const atRoot = readdirSync(ROOT).filter((name) => name.endsWith('.md'));
  return [...atRoot, ...filesUnder('docs').filter((file) => file.endsWith('.md'))];
}

export function textOf(file: string): string {
  return readFileSync(join(ROOT, file), 'utf8');
}

function filesUnder(folder: string): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(ROOT, join(entry.parentPath, entry.name)).replaceAll(sep, '/'))
    .toSorted();
}
