/** A PNG's parts against their checksums, those too that are larger than what is read at once. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { isDamagedPng } from '../../electron/scans/pngChunks.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const SIGNATURE = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
const LARGE = 2.5 * 2 ** 20;

function part(name: string, content: Buffer): Buffer {
  const head = Buffer.alloc(8);
  head.writeUInt32BE(content.length);
  head.write(name, 4, 'latin1');
  const sum = Buffer.alloc(4);
  sum.writeUInt32BE(crc32(content, crc32(Buffer.from(name, 'latin1'))));
  return Buffer.concat([head, content, sum]);
}

const note = part('tEXt', Buffer.from('Title\0a scan'));
const pixels = part('IDAT', Buffer.from(Uint8Array.from({ length: LARGE }, (_, i) => (i * 31) >> 3)));
const whole = Buffer.concat([SIGNATURE, part('IHDR', Buffer.alloc(13)), note, pixels, part('IEND', Buffer.alloc(0))]);
const noteAt = whole.indexOf(note);
const pixelsAt = whole.indexOf(pixels);

async function isDamaged(bytes: Buffer): Promise<boolean> {
  const file = join(folder.path, 'scan.png');
  writeFileSync(file, bytes);
  return isDamagedPng(file);
}

function changedAt(at: number): Buffer {
  const bytes = Buffer.from(whole);
  bytes[at] ^= 1;
  return bytes;
}

describe('a PNG', () => {
  test('as it was written is whole', async () => {
    expect(await isDamaged(whole)).toBe(false);
  });

  test.each([
    ['first', 0],
    ['last before a MiB', 2 ** 20 - 1],
    ['first after a MiB', 2 ** 20],
    ['last', LARGE - 1],
    ['checksum’s', LARGE],
  ])('is damaged when the %s byte of its pixels is', async (_, at) => {
    expect(await isDamaged(changedAt(pixelsAt + 8 + at))).toBe(true);
  });

  test('is damaged when a part has another name', async () => {
    expect(await isDamaged(changedAt(pixelsAt + 7))).toBe(true);
  });

  test('is not damaged by what the picture does without', async () => {
    expect(await isDamaged(changedAt(noteAt + 10))).toBe(false);
  });

  test('that ends early is told elsewhere', async () => {
    expect(await isDamaged(whole.subarray(0, pixelsAt + 2 ** 20))).toBe(false);
    expect(await isDamaged(whole.subarray(0, -12))).toBe(false);
  });
});
