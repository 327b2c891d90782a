/** Rows of pixels that lie in a file as they are, one after the other: an uncompressed TIFF, or a level of a pyramid. */
import { readSync } from 'node:fs';
import type { BoxPx, DeviceSource, DeviceValues } from './deviceSource.ts';

export interface RowsPlace {
  readonly fd: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bits: 8 | 16;
  /** Where each strip of rows begins, bytes. */
  readonly strips: readonly number[];
  readonly rowsPerStrip: number;
  /** Big-endian 16-bit values. */
  readonly swapped: boolean;
}

/** 4 MB of an A4 page at 600 dpi. */
const BAND_ROWS = 128;

/** @throws EndOfRows when the file ends before the box does. */
export function rowsOf(place: RowsPlace): DeviceSource {
  const { widthPx, heightPx, bits } = place;
  return { widthPx, heightPx, bits, bandRows: BAND_ROWS, read: (box, spare) => readRows(place, box, spare) };
}

export class EndOfRows extends Error {
  override readonly name = 'EndOfRows';
}

function readRows(place: RowsPlace, [left, top, width, height]: BoxPx, spare?: DeviceValues): DeviceValues {
  const { bits, widthPx, swapped } = place;
  const pixelBytes = (3 * bits) / 8;
  const bytes = bytesFor(width * height * pixelBytes, spare);
  const whole = left === 0 && width === widthPx;
  for (let row = 0; row < height;) {
    const [offset, rowsOn] = placeOf(place, top + row);
    const rows = whole ? Math.min(height - row, rowsOn) : 1;
    const length = rows * width * pixelBytes;
    readAll(place.fd, bytes, row * width * pixelBytes, length, offset + left * pixelBytes);
    row += rows;
  }
  if (swapped && bits === 16) bytes.swap16();
  const { buffer, byteOffset, length } = bytes;
  return bits === 16 ? new Uint16Array(buffer, byteOffset, length / 2) : new Uint8Array(buffer, byteOffset, length);
}

function bytesFor(length: number, spare?: DeviceValues): Buffer {
  if (spare === undefined || spare.byteLength < length) return Buffer.allocUnsafeSlow(length);
  return Buffer.from(spare.buffer, spare.byteOffset, length);
}

/** Where a row begins, and how many follow it without a gap, itself among them. */
function placeOf(place: RowsPlace, row: number): [offset: number, rowsOn: number] {
  const rowBytes = (place.widthPx * 3 * place.bits) / 8;
  const strip = Math.floor(row / place.rowsPerStrip);
  const inside = row - strip * place.rowsPerStrip;
  let rowsOn = place.rowsPerStrip - inside;
  for (let next = strip + 1; next < place.strips.length; next++, rowsOn += place.rowsPerStrip) {
    if (place.strips[next] !== place.strips[next - 1] + place.rowsPerStrip * rowBytes) break;
  }
  return [place.strips[strip] + inside * rowBytes, rowsOn];
}

function readAll(fd: number, into: Buffer, at: number, length: number, offset: number): void {
  for (let done = 0; done < length;) {
    const got = readSync(fd, into, at + done, length - done, offset + done);
    if (got === 0) throw new EndOfRows();
    done += got;
  }
}
