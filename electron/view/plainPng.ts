/**
 * PNG without compression: what travels within the machine is not packed, for packing took as long as all else and time from the window's own
 * thread; and it is written here, for the image library's way to the same bytes took as long as the colours.
 * Format: W3C, Portable Network Graphics (third edition); RFC 1950 and 1951 (stored blocks).
 */
import { crc32 } from 'node:zlib';

const SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
/** Of a chunk beside its data: length, name, checksum. */
const CHUNK_BYTES = 12;
const HEADER_BYTES = 13;
/** A stored block's own beside its data, and what it can hold. */
const BLOCK_BYTES = 5;
const MOST_BLOCK = 65535;

/** 8 bits, interleaved sRGB triples, row by row. */
export function plainPng(rgb: Uint8Array, widthPx: number, heightPx: number): Uint8Array<ArrayBuffer> {
  const rowBytes = 3 * widthPx + 1;
  const dataBytes = rowBytes * heightPx;
  const blocks = Math.ceil(dataBytes / MOST_BLOCK);
  const packedBytes = 2 + blocks * BLOCK_BYTES + dataBytes + 4;
  const out = new Uint8Array(SIGNATURE.length + 3 * CHUNK_BYTES + HEADER_BYTES + packedBytes);
  const view = new DataView(out.buffer);
  out.set(SIGNATURE);
  let at = chunk(out, view, SIGNATURE.length, 'IHDR', HEADER_BYTES, (from) => {
    view.setUint32(from, widthPx);
    view.setUint32(from + 4, heightPx);
    // 8 bits, RGB, and the only compression, filter and order that nothing else is said of.
    out.set([8, 2, 0, 0, 0], from + 8);
  });
  at = chunk(out, view, at, 'IDAT', packedBytes, (from) => {
    const rows = withFilter(rgb, rowBytes, heightPx);
    out.set([0x78, 0x01], from);
    let to = from + 2;
    for (let done = 0; done < dataBytes; done += MOST_BLOCK) {
      const length = Math.min(MOST_BLOCK, dataBytes - done);
      out[to] = done + length === dataBytes ? 1 : 0;
      view.setUint16(to + 1, length, true);
      view.setUint16(to + 3, ~length & 0xffff, true);
      out.set(rows.subarray(done, done + length), to + BLOCK_BYTES);
      to += BLOCK_BYTES + length;
    }
    view.setUint32(to, adler32(rows));
  });
  chunk(out, view, at, 'IEND', 0, () => undefined);
  return out;
}

/** @returns where the next one begins */
function chunk(
  out: Uint8Array,
  view: DataView,
  at: number,
  name: string,
  bytes: number,
  write: (from: number) => void,
): number {
  view.setUint32(at, bytes);
  for (let i = 0; i < 4; i++) out[at + 4 + i] = name.charCodeAt(i);
  write(at + 8);
  view.setUint32(at + 8 + bytes, crc32(out.subarray(at + 4, at + 8 + bytes)));
  return at + CHUNK_BYTES + bytes;
}

let room = new Uint8Array(0);

/** Each row behind a 0, which says that it is as it is; in a room that the next picture is written to as well. */
function withFilter(rgb: Uint8Array, rowBytes: number, rows: number): Uint8Array {
  if (room.length < rowBytes * rows) room = new Uint8Array(rowBytes * rows);
  for (let row = 0, at = 0, from = 0; row < rows; row++, at += rowBytes, from += rowBytes - 1) {
    room[at] = 0;
    room.set(rgb.subarray(from, from + rowBytes - 1), at + 1);
  }
  return room.subarray(0, rowBytes * rows);
}

/** So many bytes can be added up before 32 bits run over. */
const ADLER_RUN = 5552;
const ADLER_BASE = 65521;

/** RFC 1950, section 9. */
function adler32(bytes: Uint8Array): number {
  let a = 1;
  let b = 0;
  for (let i = 0; i < bytes.length;) {
    const end = Math.min(bytes.length, i + ADLER_RUN);
    for (; i < end; i++) {
      a += bytes[i];
      b += a;
    }
    a %= ADLER_BASE;
    b %= ADLER_BASE;
  }
  return b * 65536 + a;
}
