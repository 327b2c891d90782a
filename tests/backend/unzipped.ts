/** A reader for zips whose files are stored as they are, by the directory at the zip's end (APPNOTE 4.3). */
import { crc32 } from 'node:zlib';

/** @throws Error when a file's checksum does not fit. */
export function unzipped(zip: Buffer): ReadonlyMap<string, Buffer> {
  const end = zip.lastIndexOf(Buffer.from([0x50, 0x4b, 5, 6]));
  const files = new Map<string, Buffer>();
  let at = zip.readUInt32LE(end + 16);
  for (let count = zip.readUInt16LE(end + 10); count > 0; count--) {
    const [checksum, bytes] = [zip.readUInt32LE(at + 16), zip.readUInt32LE(at + 24)];
    const [nameLength, extra, comment] = [
      zip.readUInt16LE(at + 28),
      zip.readUInt16LE(at + 30),
      zip.readUInt16LE(at + 32),
    ];
    const local = zip.readUInt32LE(at + 42);
    const name = zip.toString('utf8', at + 46, at + 46 + nameLength);
    const start = local + 30 + zip.readUInt16LE(local + 26) + zip.readUInt16LE(local + 28);
    const content = zip.subarray(start, start + bytes);
    if (crc32(content) !== checksum) throw new Error(`${name}: its checksum does not fit`);
    files.set(name, Buffer.from(content));
    at += 46 + nameLength + extra + comment;
  }
  return files;
}
