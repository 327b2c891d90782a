/** A TIFF writer of the tests' own, so that no image library vouches for itself. Uncompressed; TIFF 6.0 and BigTIFF. */

export interface TiffPage {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Samples row-major, interleaved: sample c of (x, y) is samples[channels * (y * widthPx + x) + c]. */
  readonly samples: ArrayLike<number>;
  readonly channels?: number;
  readonly bits?: 1 | 8 | 16 | 32;
  /** 2 RGB, 1 black is zero, 3 palette, 5 CMYK, 8 CIE Lab. */
  readonly photometric?: number;
  /** 1 unsigned, 2 signed, 3 float. */
  readonly sampleFormat?: number;
  /** 0 unspecified, 1 associated alpha, 2 plain alpha; one entry per channel beyond the colours. */
  readonly extraSamples?: readonly number[];
  /** Edge of square tiles, a multiple of 16; left out: strips. */
  readonly tilePx?: number;
  readonly rowsPerStrip?: number;
  /** Each channel in planes of its own. */
  readonly planar?: boolean;
  readonly dpi?: number;
  readonly dpiY?: number;
  /** 1 none, 2 inch, 3 centimetre. */
  readonly resolutionUnit?: number;
  readonly orientation?: number;
  readonly icc?: Uint8Array;
  /** Text under a tag of a maker's own, as scanner software adds. */
  readonly privateTags?: Readonly<Record<number, string>>;
  /** 3 × 2^bits entries of 16 bits, all reds first. */
  readonly colourMap?: readonly number[];
}

export interface TiffKind {
  readonly littleEndian?: boolean;
  readonly big?: boolean;
}

interface Field {
  readonly tag: number;
  readonly type: number;
  readonly values: readonly number[];
  readonly bytes?: Uint8Array;
}

const SIZE_OF_TYPE: Readonly<Record<number, number>> = { 3: 2, 4: 4, 5: 8, 7: 1, 16: 8 };

export function drawTiff(page: TiffPage, kind: TiffKind = {}): Buffer {
  return drawTiffPages([page], kind);
}

export function drawTiffPages(pages: readonly TiffPage[], kind: TiffKind = {}): Buffer {
  const little = kind.littleEndian ?? true;
  const big = kind.big ?? false;
  const out: Buffer[] = [];
  let at = 0;
  const append = (part: Buffer): number => {
    const padded = part.length % 2 === 1 ? Buffer.concat([part, Buffer.alloc(1)]) : part;
    const offset = at;
    out.push(padded);
    at += padded.length;
    return offset;
  };
  const number = (value: number, bytes: number): Buffer => {
    const b = Buffer.alloc(bytes);
    if (bytes === 8) {
      if (little) b.writeBigUInt64LE(BigInt(value));
      else b.writeBigUInt64BE(BigInt(value));
    } else if (little) b.writeUIntLE(value, 0, bytes);
    else b.writeUIntBE(value, 0, bytes);
    return b;
  };

  const word = big ? 8 : 4;
  append(
    Buffer.concat([
      Buffer.from(little ? 'II' : 'MM'),
      number(big ? 43 : 42, 2),
      ...(big ? [number(8, 2), number(0, 2)] : []),
      number(0, word), // where the first directory is: patched by the loop below
    ]),
  );
  let link = { part: 0, offset: big ? 8 : 4 };
  for (const page of pages) {
    const fields = fieldsOf(page, little, append, big);
    const entries: Buffer[] = [];
    for (const field of fields) {
      const bytes = field.bytes ?? Buffer.concat(field.values.map((v) => encode(v, field.type, number)));
      const count = field.bytes ? field.bytes.length : field.values.length;
      const inline = bytes.length <= word;
      const place = inline
        ? Buffer.concat([bytes, Buffer.alloc(word - bytes.length)])
        : number(append(Buffer.from(bytes)), word);
      entries.push(Buffer.concat([number(field.tag, 2), number(field.type, 2), number(count, word), place]));
    }
    const countBytes = big ? 8 : 2;
    const directory = append(Buffer.concat([number(fields.length, countBytes), ...entries, number(0, word)]));
    number(directory, word).copy(out[link.part], link.offset);
    link = { part: out.length - 1, offset: countBytes + fields.length * (big ? 20 : 12) };
  }
  return Buffer.concat(out);
}

function encode(value: number, type: number, number: (v: number, bytes: number) => Buffer): Buffer {
  if (type === 5) return Buffer.concat([number(Math.round(value * 1000), 4), number(1000, 4)]);
  return number(value, SIZE_OF_TYPE[type]);
}

function fieldsOf(page: TiffPage, little: boolean, append: (b: Buffer) => number, big: boolean): Field[] {
  const channels = page.channels ?? 3;
  const bits = page.bits ?? 8;
  const offsets: number[] = [];
  const counts: number[] = [];
  for (const block of blocksOf(page, channels)) {
    const bytes = pack(block.samples, bits, little, block.samplesPerRow);
    offsets.push(append(bytes));
    counts.push(bytes.length);
  }
  const long = big ? 16 : 4;
  const fields: Field[] = [
    { tag: 256, type: 4, values: [page.widthPx] },
    { tag: 257, type: 4, values: [page.heightPx] },
    { tag: 258, type: 3, values: Array.from({ length: channels }, () => bits) },
    { tag: 259, type: 3, values: [1] },
    { tag: 262, type: 3, values: [page.photometric ?? (channels === 1 ? 1 : 2)] },
    { tag: 277, type: 3, values: [channels] },
    { tag: 284, type: 3, values: [page.planar ? 2 : 1] },
  ];
  if (page.orientation !== undefined) fields.push({ tag: 274, type: 3, values: [page.orientation] });
  if (page.dpi !== undefined) {
    fields.push({ tag: 282, type: 5, values: [page.dpi] }, { tag: 283, type: 5, values: [page.dpiY ?? page.dpi] });
    fields.push({ tag: 296, type: 3, values: [page.resolutionUnit ?? 2] });
  }
  if (page.tilePx === undefined) {
    fields.push({ tag: 273, type: long, values: offsets }, { tag: 279, type: long, values: counts });
    fields.push({ tag: 278, type: 4, values: [page.rowsPerStrip ?? page.heightPx] });
  } else {
    fields.push({ tag: 322, type: 4, values: [page.tilePx] }, { tag: 323, type: 4, values: [page.tilePx] });
    fields.push({ tag: 324, type: long, values: offsets }, { tag: 325, type: long, values: counts });
  }
  if (page.colourMap) fields.push({ tag: 320, type: 3, values: page.colourMap });
  if (page.extraSamples) fields.push({ tag: 338, type: 3, values: page.extraSamples });
  const { sampleFormat } = page;
  if (sampleFormat !== undefined) {
    fields.push({ tag: 339, type: 3, values: Array.from({ length: channels }, () => sampleFormat) });
  }
  if (page.icc) fields.push({ tag: 34675, type: 7, values: [], bytes: page.icc });
  for (const [tag, text] of Object.entries(page.privateTags ?? {})) {
    fields.push({ tag: Number(tag), type: 2, values: [], bytes: Buffer.from(`${text}\0`) });
  }
  return fields.sort((a, b) => a.tag - b.tag);
}

interface Block {
  readonly samples: number[];
  readonly samplesPerRow: number;
}

function* blocksOf(page: TiffPage, channels: number): Generator<Block> {
  const { widthPx, heightPx, samples, tilePx } = page;
  const planes = page.planar ? Array.from({ length: channels }, (_, c) => [c]) : [[...Array(channels).keys()]];
  const blockWidth = tilePx ?? widthPx;
  const blockHeight = tilePx ?? page.rowsPerStrip ?? heightPx;
  for (const plane of planes) {
    for (let top = 0; top < heightPx; top += blockHeight) {
      for (let left = 0; left < widthPx; left += blockWidth) {
        const rows = tilePx === undefined ? Math.min(blockHeight, heightPx - top) : blockHeight;
        const block: number[] = [];
        for (let y = top; y < top + rows; y++) {
          for (let x = left; x < left + blockWidth; x++) {
            const outside = x >= widthPx || y >= heightPx;
            for (const c of plane) block.push(outside ? 0 : samples[channels * (y * widthPx + x) + c]);
          }
        }
        yield { samples: block, samplesPerRow: blockWidth * plane.length };
      }
    }
  }
}

function pack(samples: readonly number[], bits: number, little: boolean, samplesPerRow: number): Buffer {
  if (bits === 8) return Buffer.from(samples);
  if (bits === 1) {
    const rowBytes = Math.ceil(samplesPerRow / 8);
    const out = Buffer.alloc((samples.length / samplesPerRow) * rowBytes);
    samples.forEach((v, i) => {
      const x = i % samplesPerRow;
      if (v) out[Math.floor(i / samplesPerRow) * rowBytes + (x >> 3)] |= 0x80 >> (x & 7);
    });
    return out;
  }
  const out = Buffer.alloc((samples.length * bits) / 8);
  samples.forEach((v, i) => {
    if (bits === 16 && little) out.writeUInt16LE(v, 2 * i);
    else if (bits === 16) out.writeUInt16BE(v, 2 * i);
    else if (little) out.writeFloatLE(v, 4 * i);
    else out.writeFloatBE(v, 4 * i);
  });
  return out;
}
