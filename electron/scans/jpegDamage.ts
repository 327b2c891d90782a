/**
 * Whether a JPEG's packed values end where its picture does. It carries no checksums, and the decoder stops at the last pixel: a block of a disk that reads
 * as zeros shifts all colours below it, without a word. Values that were unpacked wrongly take more or less room than the right ones, so that data are
 * left over, or missing, at the end. Told of the baseline kind alone; the others the decoder itself reads to their end. Source: ITU-T T.81, annexes B, C and F.
 */
import { readFile, stat } from 'node:fs/promises';
import { setImmediate } from 'node:timers/promises';
import { isFrameHeader } from './jpegFrame.ts';

/** Scans packed as JPEG have a tenth of it; it is held whole. */
const MOST_BYTES = 200e6;
/** Some milliseconds of work, between which others are answered. */
const UNITS_AT_ONCE = 4096;
/** Some programs leave a few bytes of their own behind the last value. */
const MOST_LEFT = 32;
const BASELINE = [0xffc0, 0xffc1];

interface Component {
  readonly id: number;
  readonly across: number;
  readonly down: number;
}

interface Frame {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly components: readonly Component[];
}

/** By the next 16 bits: the code's length above its symbol's byte; 0: no code begins so. */
type Codes = Uint16Array;

export async function isDamagedJpeg(file: string): Promise<boolean> {
  if ((await stat(file)).size > MOST_BYTES) return false;
  const data = await readFile(file);
  const codes = new Map<number, Codes>();
  let frame: Frame | null = null;
  let interval = 0;
  for (let at = 2; at + 4 <= data.length;) {
    const marker = data.readUInt16BE(at);
    // Any number of these bytes may stand before a marker.
    if (marker === 0xffff) at++;
    else if (marker < 0xffc0 || (marker >= 0xffd0 && marker <= 0xffd9)) return false;
    else {
      const length = data.readUInt16BE(at + 2);
      const body = data.subarray(at + 4, at + 2 + length);
      at += 2 + length;
      if (marker === 0xffc4) readCodes(body, codes);
      else if (marker === 0xffdd) interval = body.readUInt16BE(0);
      else if (isFrameHeader(marker)) {
        frame = frameOf(body);
        if (!BASELINE.includes(marker) || body[0] !== 8 || frame.heightPx === 0) return false;
      } else if (marker === 0xffda) {
        const blocks = frame && blocksOf(body, frame, codes);
        if (!frame || !blocks) return false;
        const end: number | null = await endOfScan(new Bits(data, at), blocks, unitsOf(frame, namesIn(body)), interval);
        if (end === null) return true;
        at = end;
      }
    }
  }
  return false;
}

function frameOf(body: Buffer): Frame {
  const components = Array.from({ length: body[5] }, (_, i) => {
    const [id, sampling] = body.subarray(6 + 3 * i);
    return { id, across: sampling >> 4, down: sampling & 15 };
  });
  return { heightPx: body.readUInt16BE(1), widthPx: body.readUInt16BE(3), components };
}

/** @param body One or more tables, each named by class and number: how many codes there are of each length, then their symbols. */
function readCodes(body: Buffer, codes: Map<number, Codes>): void {
  for (let at = 0; at + 17 <= body.length;) {
    const table = new Uint16Array(65_536);
    let [code, symbol] = [0, at + 17];
    for (let length = 1; length <= 16; length++) {
      for (let i = 0; i < body[at + length]; i++, code++) {
        table.fill((length << 8) | body[symbol++], code << (16 - length), (code + 1) << (16 - length));
      }
      code <<= 1;
    }
    codes.set(body[at], table);
    at = symbol;
  }
}

type Block = readonly [dc: Codes, ac: Codes];

/** Of one unit of a scan; null: it names tables that the file leaves to the decoder. */
function blocksOf(body: Buffer, frame: Frame, codes: ReadonlyMap<number, Codes>): Block[] | null {
  const blocks: Block[] = [];
  const named = namesIn(body);
  for (const [i, id] of named.entries()) {
    const tables = body[2 + 2 * i];
    const component = frame.components.find((c) => c.id === id);
    const [dc, ac] = [codes.get(tables >> 4), codes.get(16 + (tables & 15))];
    if (!component || !dc || !ac) return null;
    const times = named.length === 1 ? 1 : component.across * component.down;
    for (let k = 0; k < times; k++) blocks.push([dc, ac]);
  }
  return blocks;
}

/** @param body of the header of a scan */
function namesIn(body: Buffer): number[] {
  return Array.from({ length: body[0] }, (_, i) => body[1 + 2 * i]);
}

/** Where the next marker stands; null: the values end before it, or are none, or others are left over. */
async function endOfScan(
  bits: Bits,
  blocks: readonly Block[],
  units: number,
  interval: number,
): Promise<number | null> {
  for (let unit = 0; unit < units; unit++) {
    if (interval > 0 && unit > 0 && unit % interval === 0 && !bits.restart((unit / interval - 1) % 8)) return null;
    for (const [dc, ac] of blocks) if (!bits.block(dc, ac)) return null;
    if (unit % UNITS_AT_ONCE === 0) await setImmediate();
  }
  return bits.end();
}

/** How many units a scan has: of all channels together, or blocks of one alone. T.81, A.2. */
function unitsOf({ widthPx, heightPx, components }: Frame, named: readonly number[]): number {
  const [most, least] = [Math.max(...components.map((c) => c.across)), Math.max(...components.map((c) => c.down))];
  const alone = named.length === 1 ? components.find((c) => c.id === named[0]) : undefined;
  if (!alone) return Math.ceil(widthPx / (8 * most)) * Math.ceil(heightPx / (8 * least));
  const [width, height] = [(widthPx * alone.across) / most, (heightPx * alone.down) / least].map(Math.ceil);
  return Math.ceil(width / 8) * Math.ceil(height / 8);
}

class Bits {
  readonly #data: Buffer;
  #at: number;
  #held = 0;
  #count = 0;
  /** Of the held bits those that were made up, since a marker stands where more were asked for. */
  #madeUp = 0;

  constructor(data: Buffer, at: number) {
    this.#data = data;
    this.#at = at;
  }

  /** false: no such values are there. */
  block(dc: Codes, ac: Codes): boolean {
    const first = this.#symbol(dc);
    if (first < 0 || first > 15) return false;
    this.#skip(first);
    for (let place = 1; place < 64; place++) {
      const symbol = this.#symbol(ac);
      if (symbol < 0) return false;
      const size = symbol & 15;
      place += symbol >> 4;
      if (size === 0 && symbol !== 0xf0) break;
      if (place > 63) return false;
      this.#skip(size);
    }
    return this.#count >= this.#madeUp;
  }

  /** Goes on behind a restart marker, which bears a number from 0 to 7. */
  restart(number: number): boolean {
    const at = this.end();
    if (at === null || this.#data[at + 1] !== 0xd0 + number) return false;
    [this.#at, this.#held, this.#count, this.#madeUp] = [at + 2, 0, 0, 0];
    return true;
  }

  /** Where the marker stands that follows; null: other values are left over. Some programs fill up with bytes of one kind. */
  end(): number | null {
    let count = Math.max(0, (this.#count - this.#madeUp) >> 3);
    const kinds = new Set<number>();
    for (let byte = this.#next(); byte >= 0; byte = this.#next(), count++) kinds.add(byte);
    return count <= MOST_LEFT || kinds.size === 1 ? this.#at : null;
  }

  #symbol(codes: Codes): number {
    this.#fill();
    const found = codes[(this.#held >>> (this.#count - 16)) & 0xffff];
    this.#count -= found >> 8;
    return found === 0 ? -1 : found & 255;
  }

  #skip(bits: number): void {
    this.#fill();
    this.#count -= bits;
  }

  #fill(): void {
    while (this.#count < 16) {
      const byte = this.#next();
      if (byte < 0) this.#madeUp += 8;
      this.#held = (this.#held << 8) | Math.max(0, byte);
      this.#count += 8;
    }
  }

  /** -1: a marker stands there, or the end. */
  #next(): number {
    const byte = this.#data[this.#at] ?? -1;
    if (byte !== 0xff) {
      if (byte >= 0) this.#at++;
      return byte;
    }
    let next = this.#at + 1;
    while (this.#data[next] === 0xff) next++;
    if (this.#data[next] !== 0) {
      this.#at = next - 1;
      return -1;
    }
    this.#at = next + 1;
    return 255;
  }
}
