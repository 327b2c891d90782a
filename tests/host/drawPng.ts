/** A PNG writer of the tests' own (zlib from Node, filter 0 only). */
import { crc32, deflateSync } from 'node:zlib';

export interface PngPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly samples: ArrayLike<number>;
  readonly bits?: 8 | 16;
  /** 0 grey, 2 RGB, 3 palette, 6 RGB with alpha. */
  readonly colourType?: 0 | 2 | 3 | 6;
  readonly palette?: readonly number[];
  readonly pixelsPerMetre?: readonly [across: number, down: number];
  readonly icc?: Uint8Array;
  /** Further parts before the pixels, by name. */
  readonly parts?: Readonly<Record<string, Buffer>>;
}

const CHANNELS = { 0: 1, 2: 3, 3: 1, 6: 4 } as const;

export function drawPng(picture: PngPicture): Buffer {
  const { widthPx, heightPx, samples, bits = 8, colourType = 2 } = picture;
  const perRow = CHANNELS[colourType] * widthPx;
  const rowBytes = (perRow * bits) / 8;
  const rows = Buffer.alloc(heightPx * (rowBytes + 1));
  for (let y = 0; y < heightPx; y++) {
    for (let i = 0; i < perRow; i++) {
      const at = y * (rowBytes + 1) + 1 + (i * bits) / 8;
      if (bits === 16) rows.writeUInt16BE(samples[y * perRow + i], at);
      else rows[at] = samples[y * perRow + i];
    }
  }
  const header = Buffer.alloc(13);
  header.writeUInt32BE(widthPx, 0);
  header.writeUInt32BE(heightPx, 4);
  header.set([bits, colourType, 0, 0, 0], 8);
  const chunks = [chunk('IHDR', header)];
  if (picture.icc) {
    chunks.push(chunk('iCCP', Buffer.concat([Buffer.from('profile\0\0', 'latin1'), deflateSync(picture.icc)])));
  }
  for (const [name, body] of Object.entries(picture.parts ?? {})) chunks.push(chunk(name, body));
  if (picture.pixelsPerMetre) {
    const size = Buffer.alloc(9);
    size.writeUInt32BE(picture.pixelsPerMetre[0], 0);
    size.writeUInt32BE(picture.pixelsPerMetre[1], 4);
    size[8] = 1;
    chunks.push(chunk('pHYs', size));
  }
  if (picture.palette) chunks.push(chunk('PLTE', Buffer.from(picture.palette)));
  chunks.push(chunk('IDAT', deflateSync(rows)), chunk('IEND', Buffer.alloc(0)));
  return Buffer.concat([Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), ...chunks]);
}

function chunk(name: string, body: Buffer): Buffer {
  const head = Buffer.alloc(8);
  head.writeUInt32BE(body.length, 0);
  head.write(name, 4, 'latin1');
  const tail = Buffer.alloc(4);
  tail.writeUInt32BE(crc32(Buffer.concat([head.subarray(4), body])), 0);
  return Buffer.concat([head, body, tail]);
}
