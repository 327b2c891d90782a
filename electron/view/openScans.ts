/** The scans that are being looked at, held open: their pyramids where there are some, else the files themselves. */
import { randomUUID } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { averagedDown } from './averagedDown.ts';
import type { DeviceSource } from '../scans/deviceSource.ts';
import { halvingsTo, OVERVIEW_PX } from './levels.ts';
import type { From } from './messages.ts';
import { damaged } from '../scans/refusals.ts';
import { openPlain } from '../scans/openPlain.ts';
import { copyPlain, decodedSource } from './original.ts';
import { type CachedScan, openPyramid, removeQuietly } from './pyramidCache.ts';
import { Recent } from './recent.ts';
import { EndOfRows } from '../scans/rows.ts';

interface OpenScan {
  /** By how often they were halved; all of them, or full resolution alone, or none where it is compressed. */
  readonly levels: readonly DeviceSource[];
  readonly pyramid: boolean;
  readonly close: () => void;
}
/** A scan with those who look at it: it is closed when it was dropped and the last of them has gone. */
interface Held {
  readonly opened: Promise<OpenScan>;
  users: number;
  dropped: boolean;
}

const held = new Recent<Held>(8, (leaving) => {
  leaving.dropped = true;
  closeUnused(leaving);
});
/** Pages at the scale of an overview: some 3 MB each. */
const overviews = new Recent<Promise<DeviceSource>>(4);

/**
 * Calls `work` with the scan at 1 : 2^halvings. Nothing is closed while it runs.
 * @returns null: with `from` 'pyramid', when there is none and another way would take long
 * @throws ScanError when the file is gone or cannot be decoded
 */
export async function withLevel<T>(
  folder: string,
  scan: CachedScan,
  halvings: number,
  from: From,
  work: (source: DeviceSource) => Promise<T>,
): Promise<{ value: T; pyramid: boolean } | null> {
  const mine = hold(folder, scan);
  mine.users++;
  try {
    const opened = await mine.opened;
    const source = await levelOf(folder, scan, opened, halvings, from);
    return source && { value: await work(source), pyramid: opened.pyramid };
  } catch (error) {
    if (error instanceof EndOfRows) throw damaged(scan.file, 'an image', 'it ends early');
    throw error;
  } finally {
    mine.users--;
    closeUnused(mine);
  }
}

/** The scan at the scale of an overview, at once, whatever there is. */
export async function overviewSource(folder: string, scan: CachedScan): Promise<DeviceSource> {
  const known = overviews.get(scan.hash);
  if (known) return known;
  const made = newOverview(folder, scan);
  void overviews.set(scan.hash, made);
  made.catch(() => overviews.remove(scan.hash));
  return made;
}

/** After its pyramid was made: the scan is opened anew. */
export function openAnew(hash: string): void {
  held.remove(hash);
}

function hold(folder: string, scan: CachedScan): Held {
  const known = held.get(scan.hash);
  if (known) return known;
  const opened = open(folder, scan);
  opened.catch(() => held.remove(scan.hash));
  return held.set(scan.hash, { opened, users: 0, dropped: false });
}

async function open(folder: string, scan: CachedScan): Promise<OpenScan> {
  const pyramid = await openPyramid(folder, scan);
  if (pyramid) return { levels: pyramid.levels, pyramid: true, close: () => pyramid.close() };
  const plain = await openPlain(scan.file, scan.info);
  // A small scan is its own overview, from which all levels come at once.
  const isSmall = overviewHalvings(scan) === 0;
  return { levels: plain ? [plain.source] : [], pyramid: plain !== null && isSmall, close: () => plain?.close() };
}

async function levelOf(folder: string, scan: CachedScan, { levels }: OpenScan, halvings: number, from: From) {
  const there = levels.at(halvings);
  if (there) return there;
  const overviewAt = overviewHalvings(scan);
  const isQuick = levels.length > 0 || overviews.get(scan.hash) !== undefined;
  if (halvings >= overviewAt && isQuick) {
    return averagedDown(await overviewSource(folder, scan), halvings - overviewAt);
  }
  if (from === 'pyramid') return null;
  return averagedDown(levels.at(0) ?? decodedSource(scan.file, scan.info), halvings);
}

export function overviewHalvings({ info }: CachedScan): number {
  return halvingsTo(OVERVIEW_PX, info.widthPx, info.heightPx);
}

async function newOverview(folder: string, scan: CachedScan): Promise<DeviceSource> {
  const { levels, pyramid, close } = await open(folder, scan);
  try {
    const halvings = overviewHalvings(scan);
    const full = levels.at(0);
    if (pyramid && levels.length > halvings) return await inMemory(levels[halvings]);
    if (full) return await inMemory(averagedDown(full, halvings));
    return await fromCopy(folder, scan, halvings);
  } finally {
    close();
  }
}

/** A compressed file is read in parts only by decoding it over and over: once into a copy is quicker, where there is room for one. */
async function fromCopy(folder: string, scan: CachedScan, halvings: number): Promise<DeviceSource> {
  const copy = join(folder, `${scan.hash}-overview.${process.pid}.${randomUUID()}.part`);
  try {
    let plain;
    try {
      mkdirSync(folder, { recursive: true });
      await copyPlain(scan.file, scan.info, copy);
      plain = await openPlain(copy, scan.info);
    } catch {
      plain = null; // no room, or no such scan: the way below says which
    }
    if (plain === null) return await inMemory(averagedDown(decodedSource(scan.file, scan.info), halvings));
    try {
      return await inMemory(averagedDown(plain.source, halvings));
    } finally {
      plain.close();
    }
  } finally {
    removeQuietly(copy);
  }
}

async function inMemory(source: DeviceSource): Promise<DeviceSource> {
  const { widthPx, heightPx, bits } = source;
  const all = await source.read([0, 0, widthPx, heightPx]);
  return {
    widthPx,
    heightPx,
    bits,
    bandRows: heightPx,
    read([left, top, width, height]) {
      const out = bits === 16 ? new Uint16Array(3 * width * height) : new Uint8Array(3 * width * height);
      for (let row = 0; row < height; row++) {
        const from = 3 * ((top + row) * widthPx + left);
        out.set(all.subarray(from, from + 3 * width), 3 * row * width);
      }
      return out;
    },
  };
}

function closeUnused(scan: Held): void {
  if (!scan.dropped || scan.users > 0) return;
  void scan.opened.then(
    ({ close }) => close(),
    () => undefined,
  );
}
