/**
 * Where pyramids are kept: one folder a scan, named by its content. A folder is made under another name and renamed when it is whole, so
 * that what a killed program left behind is never taken for a pyramid. Bounded: what was not looked at for longest goes first.
 */
import { randomUUID } from 'node:crypto';
import {
  closeSync,
  existsSync,
  mkdirSync,
  openSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
} from 'node:fs';
import { join } from 'node:path';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { DeviceSource } from '../scans/deviceSource.ts';
import { openPlain, type OpenSource } from '../scans/openPlain.ts';
import { copyPlain, plainBytes } from './original.ts';
import { pyramidBytes, readPyramid, writePyramid } from './pyramidFile.ts';

export interface CachedScan {
  readonly file: string;
  readonly hash: string;
  readonly info: ScanInfo;
}

export interface OpenPyramid {
  /** By how often it was halved: 0 is full resolution. */
  readonly levels: readonly DeviceSource[];
  close(): void;
}

const LEVELS = 'levels';
const PLAIN = 'plain.tif';
const UNFINISHED = '.part';

/** null: there is none yet. @throws ScanError when the scan itself is needed and gone */
export async function openPyramid(folder: string, scan: CachedScan): Promise<OpenPyramid | null> {
  const kept = join(folder, scan.hash);
  let fd: number;
  try {
    fd = openSync(join(kept, LEVELS), 'r');
  } catch {
    return null;
  }
  let full: OpenSource | null = null;
  const smaller = readPyramid(fd, scan.info.widthPx, scan.info.heightPx);
  try {
    full = smaller && ((await openCopy(join(kept, PLAIN), scan.info)) ?? (await openPlain(scan.file, scan.info)));
  } finally {
    if (full === null) closeSync(fd);
  }
  if (smaller === null || full === null) {
    removeQuietly(kept);
    return null;
  }
  const fullSource = full;
  markUsed(kept);
  return {
    levels: [fullSource.source, ...smaller],
    close() {
      closeSync(fd);
      fullSource.close();
    },
  };
}

/** Makes it, unless it is there. @throws when the folder cannot be written or is too small for it */
export async function makePyramid(folder: string, mostBytes: number, scan: CachedScan): Promise<void> {
  const { file, hash, info } = scan;
  const kept = join(folder, hash);
  const part = join(folder, `${hash}.${process.pid}.${randomUUID()}${UNFINISHED}`);
  const plain = await openPlain(file, info);
  try {
    makeRoom(folder, mostBytes, pyramidBytes(info.widthPx, info.heightPx) + (plain ? 0 : plainBytes(info)));
    mkdirSync(part, { recursive: true });
    const source = plain ?? (await copied(scan, join(part, PLAIN)));
    const fd = openSync(join(part, LEVELS), 'w');
    try {
      await writePyramid(source.source, fd);
    } finally {
      closeSync(fd);
      if (plain === null) source.close();
    }
    putInPlace(part, kept);
  } finally {
    removeQuietly(part);
    plain?.close();
  }
}

/** Removes what processes that are gone did not finish. */
export function removeUnfinished(folder: string): void {
  for (const name of namesIn(folder)) {
    if (!name.endsWith(UNFINISHED)) continue;
    const pid = Number(name.split('.').at(-3));
    if (isAlive(pid)) continue;
    removeQuietly(join(folder, name));
  }
}

/** What cannot be removed from a cache takes room, no more. */
export function removeQuietly(path: string): void {
  try {
    rmSync(path, { recursive: true, force: true });
  } catch {
    // For instance a folder that has become read-only.
  }
}

/** Another process may have been quicker: what it made is the same. */
function putInPlace(part: string, kept: string): void {
  try {
    renameSync(part, kept);
  } catch (error) {
    if (!existsSync(join(kept, LEVELS))) throw error;
  }
}

async function copied(scan: CachedScan, to: string): Promise<OpenSource> {
  await copyPlain(scan.file, scan.info, to);
  const copy = await openPlain(to, scan.info);
  if (copy === null) throw new Error(`${to}: the copy of ${scan.file} is not what it was written as`);
  return copy;
}

async function openCopy(file: string, info: ScanInfo): Promise<OpenSource | null> {
  try {
    return await openPlain(file, info);
  } catch {
    return null;
  }
}

function makeRoom(folder: string, mostBytes: number, bytes: number): void {
  if (bytes > mostBytes) throw new Error(`a pyramid of ${bytes} bytes is more than the cache may hold (${mostBytes})`);
  const kept = namesIn(folder)
    .map((name) => ({ path: join(folder, name), ...sizeOf(join(folder, name)) }))
    .sort((a, b) => a.usedMs - b.usedMs);
  let total = kept.reduce((sum, { bytes }) => sum + bytes, bytes);
  for (const oldest of kept) {
    if (total <= mostBytes) return;
    removeQuietly(oldest.path);
    total -= oldest.bytes;
  }
}

function sizeOf(path: string): { bytes: number; usedMs: number } {
  try {
    const bytes = namesIn(path).reduce((sum, name) => sum + statSync(join(path, name)).size, 0);
    return { bytes, usedMs: statSync(path).mtimeMs };
  } catch {
    return { bytes: 0, usedMs: 0 }; // gone meanwhile
  }
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

function markUsed(path: string): void {
  try {
    const now = new Date();
    utimesSync(path, now, now);
  } catch {
    // A cache that cannot be written is still good to read.
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
  }
}
