/**
 * The smaller levels of a scan in one file: a header, then each level's rows of 16-bit device values as they are (little-endian), the largest first.
 * Full resolution is not among them: it is read from the scan itself or, where that is compressed, from a plain copy beside.
 */
import { fstatSync, readSync, writeSync } from 'node:fs';
import { setImmediate } from 'node:timers/promises';
import { halveInLight } from '../../analysis/colour/lightMeans.ts';
import type { DeviceSource, DeviceValues } from '../scans/deviceSource.ts';
import { halved, levelsOf } from './levels.ts';
import { rowsOf } from '../scans/rows.ts';

const HEADER_BYTES = 256;
/** Raised when the same scan would give other values; files of another version are made anew. */
const VERSION = 1;

interface LevelPlace {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly offset: number;
}

/** Bytes of the file that holds a scan's smaller levels. */
export function pyramidBytes(widthPx: number, heightPx: number): number {
  const { end } = places(widthPx, heightPx);
  return end;
}

/** Streams the scan in bands; memory is a few bands, whatever the page. */
export async function writePyramid(source: DeviceSource, fd: number): Promise<void> {
  const { levels } = places(source.widthPx, source.heightPx);
  writeAll(fd, header(source.widthPx, source.heightPx), 0);
  const first = levels.reduceRight<LevelWriter | null>((smaller, place) => new LevelWriter(fd, place, smaller), null);
  if (first === null) return;
  const { widthPx, heightPx } = source;
  // Even, so that a pair of rows never lies in two bands.
  const bandRows = Math.max(2, source.bandRows & ~1);
  const half = new Uint16Array(3 * Math.ceil(widthPx / 2) * (bandRows / 2));
  let band: DeviceValues | undefined;
  for (let top = 0; top < heightPx; top += bandRows) {
    const rows = Math.min(bandRows, heightPx - top);
    band = await source.read([0, top, widthPx, rows], band);
    const out = half.subarray(0, 3 * Math.ceil(widthPx / 2) * Math.ceil(rows / 2));
    halveInLight(band, widthPx, rows, out);
    first.push(out);
    await setImmediate(); // tiles that were asked for meanwhile
  }
}

/** Each smaller level by how often it was halved (1 …); null when the file is not whole, of another version or of another scan. */
export function readPyramid(fd: number, widthPx: number, heightPx: number): readonly DeviceSource[] | null {
  const { levels, end } = places(widthPx, heightPx);
  if (fstatSync(fd).size !== end) return null;
  const found = Buffer.alloc(HEADER_BYTES);
  readSync(fd, found, 0, HEADER_BYTES, 0);
  if (!found.equals(header(widthPx, heightPx))) return null;
  return levels.map((level) =>
    rowsOf({
      fd,
      widthPx: level.widthPx,
      heightPx: level.heightPx,
      bits: 16,
      strips: [level.offset],
      rowsPerStrip: level.heightPx,
      swapped: false,
    }),
  );
}

function header(widthPx: number, heightPx: number): Buffer {
  const bytes = Buffer.alloc(HEADER_BYTES);
  bytes.write(`wetline-levels/${VERSION} ${widthPx} × ${heightPx} px\n`);
  return bytes;
}

function places(widthPx: number, heightPx: number): { levels: LevelPlace[]; end: number } {
  const levels: LevelPlace[] = [];
  let end = HEADER_BYTES;
  for (let halvings = 1; halvings < levelsOf(widthPx, heightPx); halvings++) {
    const level = { widthPx: halved(widthPx, halvings), heightPx: halved(heightPx, halvings), offset: end };
    levels.push(level);
    end += 6 * level.widthPx * level.heightPx;
  }
  return { levels, end };
}

/** Takes a level's rows as they come, writes them, and hands pairs on to the next smaller level. */
class LevelWriter {
  readonly #fd: number;
  readonly #place: LevelPlace;
  readonly #smaller: LevelWriter | null;
  #rows = 0;
  /** A row whose other half has not come yet. */
  #waiting: Uint16Array | null = null;

  constructor(fd: number, place: LevelPlace, smaller: LevelWriter | null) {
    this.#fd = fd;
    this.#place = place;
    this.#smaller = smaller;
  }

  /** The caller may fill `rows` anew afterwards. */
  push(rows: Uint16Array): void {
    const { widthPx, heightPx, offset } = this.#place;
    const perRow = 3 * widthPx;
    writeAll(this.#fd, rows, offset + 2 * perRow * this.#rows);
    this.#rows += rows.length / perRow;
    if (this.#smaller === null) return;
    const ready = this.#waiting === null ? rows : joined(this.#waiting, rows);
    const count = ready.length / perRow;
    const used = this.#rows === heightPx ? count : count & ~1;
    this.#waiting = used < count ? ready.slice(used * perRow) : null;
    if (used === 0) return;
    const out = new Uint16Array(3 * Math.ceil(widthPx / 2) * Math.ceil(used / 2));
    halveInLight(ready, widthPx, used, out);
    this.#smaller.push(out);
  }
}

function joined(a: Uint16Array, b: Uint16Array): Uint16Array {
  const both = new Uint16Array(a.length + b.length);
  both.set(a);
  both.set(b, a.length);
  return both;
}

function writeAll(fd: number, values: Uint8Array | Uint16Array, offset: number): void {
  const bytes = new Uint8Array(values.buffer, values.byteOffset, values.byteLength);
  for (let done = 0; done < bytes.length;) {
    done += writeSync(fd, bytes, done, bytes.length - done, offset + done);
  }
}
