import { createHash } from 'node:crypto';
import { symlinkSync } from 'node:fs';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { decodeWhole } from '../../electron/scans/decodeWhole.ts';
import { openImage } from '../../electron/scans/openImage.ts';
import { damaged } from '../../electron/scans/refusals.ts';
import { readScan } from '../../electron/scans/readScan.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { drawIcc } from './drawIcc.ts';
import { drawPng } from './drawPng.ts';
import { drawTiff, drawTiffPages } from './drawTiff.ts';
import type { TiffPage } from './drawTiff.ts';
import { withFill } from './fillBytes.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const size = { widthPx: 20, heightPx: 10 };
const samples = (channels: number): number[] => Array.from({ length: 200 * channels }, (_, i) => (i * 7) % 256);
const rgb: TiffPage = { ...size, samples: samples(3) };
const rgb16: TiffPage = { ...rgb, bits: 16 };
const picture = sharp(Uint8Array.from(samples(3)), { raw: { width: 20, height: 10, channels: 3 } });

/** A TIFF whose header says that its samples have so many bits; `drawTiff` writes none such. */
function ofBits(bits: number, page: TiffPage): Buffer {
  const tiff = drawTiff(page);
  const [said, instead] = [page.bits ?? 8, bits].map((b) => Buffer.from([b, 0, b, 0, b, 0]));
  tiff.set(instead, tiff.indexOf(said));
  return tiff;
}

/** Two pages, the first of which calls itself a preview. */
function previewFirst(): Buffer {
  const tiff = drawTiffPages([{ ...rgb, privateTags: { 254: '\u0001' } }, rgb16]);
  return asPreview(tiff);
}

/** One page that calls itself a preview, and names another below it, as raw files do: tag 330, an IFD. */
function previewAbove(): Buffer {
  const tiff = drawTiff({ ...rgb, privateTags: { 254: '\u0001', 330: '\u0008' } });
  tiff.set([74, 1, 13, 0, 1, 0, 0, 0, 8, 0], tiff.indexOf(Buffer.from([74, 1, 2, 0, 2, 0])));
  return asPreview(tiff);
}

/** Its text of tag 254 made the number that belongs there. */
function asPreview(tiff: Buffer): Buffer {
  tiff.set([254, 0, 3, 0, 1, 0], tiff.indexOf(Buffer.from([254, 0, 2, 0, 2, 0])));
  return tiff;
}

/** A JPEG whose channels are called R, G and B behind a header that says YCbCr. */
async function rgbAsJfif(): Promise<Buffer> {
  const jpeg = await picture.clone().jpeg({ chromaSubsampling: '4:4:4' }).toBuffer();
  const frame = jpeg.indexOf(Buffer.from([0xff, 0xc0]));
  const scan = jpeg.indexOf(Buffer.from([0xff, 0xda]));
  for (const [i, name] of Buffer.from('RGB').entries()) {
    jpeg[frame + 10 + 3 * i] = name;
    jpeg[scan + 5 + 2 * i] = name;
  }
  const jfif = Buffer.from([0xff, 0xe0, 0, 16, ...Buffer.from('JFIF\0'), 1, 1, 0, 0, 1, 0, 1, 0, 0]);
  return Buffer.concat([jpeg.subarray(0, 2), jfif, jpeg.subarray(2)]);
}

/** A TIFF whose header says of its strips that they are packed in this way. */
function packedAs(compression: number): Buffer {
  const plain = drawTiff(rgb);
  const entry = Buffer.from([3, 1, 3, 0, 1, 0, 0, 0, 1, 0]);
  plain.writeUInt16LE(compression, plain.indexOf(entry) + 8);
  return plain;
}

test('says what is in a file', async () => {
  const icc = drawIcc('Wide test space');
  const file = folder.put('full.tif', drawTiff({ ...rgb16, dpi: 600, icc }));
  expect(await scanInfo(file)).toEqual({
    file,
    widthPx: 20,
    heightPx: 10,
    bits: 16,
    channels: 3,
    dpi: 600,
    icc: 'Wide test space',
    iccHash: createHash('sha256').update(icc).digest('hex'),
    format: 'tiff',
    pages: 1,
    orientation: 1,
    scanner: null,
    scannedAt: null,
    notes: [],
  });
});

describe('who scanned it', () => {
  const named = { 271: 'Tern Works', 272: 'Flat 12', 305: 'Slow Scan 3.1', 306: '2026:05:03 10:15:00' };
  const said = {
    scanner: { make: 'Tern Works', model: 'Flat 12', software: 'Slow Scan 3.1' },
    scannedAt: '2026-05-03T10:15:00',
  };

  test.each([
    [{ littleEndian: true, big: false }],
    [{ littleEndian: false, big: false }],
    [{ littleEndian: true, big: true }],
  ])('by the tags of a TIFF %o', async (kind) => {
    const file = folder.put('named.tif', drawTiff({ ...rgb16, privateTags: named }, kind));
    expect(await scanInfo(file)).toMatchObject(said);
  });

  test.each(['jpeg', 'png', 'webp'] as const)('by the Exif of a %s', async (format) => {
    const [Make, Model, Software, DateTime] = Object.values(named);
    const bytes = await picture
      .clone()
      .withExif({ IFD0: { Make, Model, Software, DateTime } })
      .toFormat(format)
      .toBuffer();
    expect(await scanInfo(folder.put(`named.${format}`, bytes))).toMatchObject(said);
  });

  test.each<[string, Record<number, string>, object]>([
    ['a software alone', { 305: 'Slow Scan' }, { make: null, model: null, software: 'Slow Scan' }],
    ['blanks and line ends', { 271: ' Tern\r\n Works  ', 272: '  ' }, { make: 'Tern Works', model: null }],
    ['an endless name', { 272: 'x'.repeat(5000) }, { model: 'x'.repeat(80) }],
  ])('%s', async (_, privateTags, scanner) => {
    const file = folder.put('odd.tif', drawTiff({ ...rgb, privateTags }));
    expect(await scanInfo(file)).toMatchObject({ scanner, scannedAt: null });
  });
});

function png(across: number, down = across): Buffer {
  return drawPng({ ...size, samples: samples(3), pixelsPerMetre: [across, down] });
}

/** @param unit 0 an aspect ratio only, 1 inch, 2 centimetre. */
async function jfif(unit: number, density: number): Promise<Buffer> {
  const jpeg = await picture.clone().jpeg().toBuffer();
  const segment = Buffer.from([0xff, 0xe0, 0, 16, 0x4a, 0x46, 0x49, 0x46, 0, 1, 2, unit, 0, 0, 0, 0, 0, 0]);
  segment.writeUInt16BE(density, 12);
  segment.writeUInt16BE(density, 14);
  return Buffer.concat([jpeg.subarray(0, 2), segment, jpeg.subarray(2)]);
}

describe('resolution as the file states it', () => {
  test.each<[string, () => Buffer | Promise<Buffer>, number | null]>([
    ['TIFF, inch', () => drawTiff({ ...rgb, dpi: 1200 }), 1200],
    ['TIFF, centimetre', () => drawTiff({ ...rgb, dpi: 236.22, resolutionUnit: 3 }), 600],
    ['TIFF, big-endian BigTIFF', () => drawTiff({ ...rgb, dpi: 357.14 }, { big: true, littleEndian: false }), 357.14],
    ['TIFF without a unit', () => drawTiff({ ...rgb, dpi: 300, resolutionUnit: 1 }), null],
    ['TIFF that says more than any scanner sees', () => drawTiff({ ...rgb, dpi: 99_999 }), null],
    ['TIFF that says 1', () => drawTiff({ ...rgb, dpi: 1 }), null],
    ['TIFF without', () => drawTiff(rgb), null],
    ['PNG', () => png(23622), 600],
    ['PNG without', () => drawPng({ ...size, samples: samples(3) }), null],
    ['JPEG, inch', () => jfif(1, 300), 300],
    ['JPEG, centimetre', () => jfif(2, 118), 299.72],
    ['JPEG with an aspect ratio only: no 72 is made up', () => jfif(0, 1), null],
    ['JPEG, Exif', () => picture.clone().withDensity(400).jpeg().toBuffer(), 400],
    ['JPEG, Exif with the library’s default', () => picture.clone().withExif({}).jpeg().toBuffer(), null],
    ['TIFF with the library’s default', () => picture.clone().tiff().toBuffer(), null],
    ['PNG with the library’s default', () => png(1000), null],
    ['WebP', () => picture.clone().withDensity(450).webp().toBuffer(), 450],
    ['WebP without', () => picture.clone().webp().toBuffer(), null],
    ['JPEG with bytes between its parts', async () => withFill(await jfif(1, 300)), 300],
    ['JPEG that says a screen’s 72', () => jfif(1, 72), null],
    ['TIFF that says a screen’s 96', () => drawTiff({ ...rgb, dpi: 96 }), null],
    ['TIFF that says 100', () => drawTiff({ ...rgb, dpi: 100 }), 100],
  ])('%s', async (_, content, expected) => {
    const file = folder.put('resolution', await content());
    expect((await scanInfo(file)).dpi).toBe(expected);
  });

  test('a number that programs make up is told', async () => {
    const { notes } = await scanInfo(folder.put('screen.tif', drawTiff({ ...rgb, dpi: 72 })));
    expect(notes).toEqual(['the 72 dpi that it states are what programs write that know none']);
  });

  test('a resolution finer than any that was tried is told', async () => {
    const notesAt = async (dpi: number) =>
      (await scanInfo(folder.put('fine.tif', drawTiff({ ...rgb, dpi })))).notes.join();
    expect(await notesAt(2400)).toContain('2400 dpi is finer than what was tried (1200)');
    expect(await notesAt(1200)).toBe('');
  });

  test('pixels that are not square are refused', async () => {
    const file = folder.put('fax.png', png(8000, 4000));
    await expect(scanInfo(file)).rejects.toMatchObject({ code: 'scan-not-square' });
  });
});

test.each<[string, () => Buffer, string]>([
  [
    'a fourth channel',
    () => drawTiff({ ...rgb, channels: 4, samples: samples(4), extraSamples: [2] }),
    'fourth channel',
  ],
  ['further pages', () => drawTiffPages([rgb, rgb16, rgb]), 'first of its 3 pages'],
  ['an orientation', () => drawTiff({ ...rgb, orientation: 8 }), 'orientation tag (8)'],
  [
    'a palette',
    () => drawPng({ ...size, samples: samples(1), colourType: 3, palette: samples(3).slice(0, 768) }),
    'palette',
  ],
  [
    'a palette in a TIFF',
    () =>
      drawTiff({
        ...size,
        samples: samples(1),
        channels: 1,
        photometric: 3,
        colourMap: Array.from({ length: 768 }, (_, i) => (i * 12345) % 65536),
      }),
    'palette',
  ],
])('%s is reported', async (_, content, expected) => {
  const { notes, lossy } = await scanInfo(folder.put('noted', content()));
  expect(notes).toHaveLength(1);
  expect(notes[0]).toContain(expected);
  expect(lossy ?? false).toBe(expected === 'palette');
});

test('colours multiplied by an alpha channel are said to be', async () => {
  const file = folder.put('multiplied.tif', drawTiff({ ...rgb, channels: 4, samples: samples(4), extraSamples: [1] }));
  expect((await scanInfo(file)).notes).toEqual([
    'its fourth channel (alpha) is left out',
    'its colours were multiplied by that channel, and are divided by it',
  ]);
});

test.each([
  ['first-page', previewFirst],
  ['above-the-scan', previewAbove],
])('a preview in the first place is not taken for the scan: %s', async (name, tiff) => {
  await expect(scanInfo(folder.put(`preview-${name}.tif`, tiff()))).rejects.toMatchObject({
    code: 'scan-preview',
    message: expect.stringContaining('its first page is a preview of 20 × 10 px; expected the scan itself'),
  });
});

describe('what is no colour scan is refused with one line', () => {
  const one = { ...size, samples: samples(1), channels: 1 };
  test.each<[string, () => Buffer | Promise<Buffer>, string, string]>([
    ['grey', () => drawTiff(one), 'scan-not-colour', 'a grey image'],
    ['grey, 16 bit', () => drawTiff({ ...one, bits: 16 }), 'scan-not-colour', 'a grey image'],
    ['grey PNG', () => drawPng({ ...size, samples: samples(1), colourType: 0 }), 'scan-not-colour', 'a grey image'],
    ['1 bit', () => drawTiff({ ...one, bits: 1 }), 'scan-not-colour', '1-bit'],
    ['CMYK', () => drawTiff({ ...size, samples: samples(4), channels: 4, photometric: 5 }), 'scan-not-colour', 'CMYK'],
    ['a JPEG of RGB that says JFIF', rgbAsJfif, 'scan-not-colour', 'both RGB and YCbCr'],
    ['CMYK JPEG', () => picture.clone().toColourspace('cmyk').jpeg().toBuffer(), 'scan-not-colour', 'CMYK'],
    ['Lab, 8 bit', () => drawTiff({ ...rgb, photometric: 8 }), 'scan-not-colour', 'Lab'],
    ['Lab, 16 bit', () => drawTiff({ ...rgb16, photometric: 8 }), 'scan-not-colour', 'Lab'],
    ['YCbCr that no JPEG holds', () => drawTiff({ ...rgb, photometric: 6 }), 'scan-not-colour', 'YCbCr'],
    ['float', () => drawTiff({ ...rgb, bits: 32, sampleFormat: 3 }), 'scan-depth', 'floating point'],
    ['12 bit', () => ofBits(12, rgb16), 'scan-depth', '12-bit values'],
    ['double', () => ofBits(64, { ...rgb, bits: 32, sampleFormat: 3 }), 'scan-depth', '64-bit floating point values'],
    ['32 bit', () => drawTiff({ ...rgb, bits: 32 }), 'scan-depth', '32-bit values'],
    ['signed bytes', () => drawTiff({ ...rgb, sampleFormat: 2 }), 'scan-depth', '8-bit signed values'],
    ['signed', () => drawTiff({ ...rgb16, sampleFormat: 2 }), 'scan-depth', 'signed'],
    ['packed as nothing here reads', () => packedAs(50_000), 'scan-compression', 'packed as Zstandard (kind 50000)'],
    ['packed in a way of its own', () => packedAs(34_999), 'scan-compression', 'packed as kind 34999'],
    [
      'five channels',
      () => drawTiff({ ...size, samples: samples(5), channels: 5, extraSamples: [0, 0] }),
      'scan-not-colour',
      '5 channels',
    ],
    [
      'seven channels',
      () => drawTiff({ ...size, samples: samples(7), channels: 7, extraSamples: [0, 0, 0, 0] }),
      'scan-not-colour',
      'more than five',
    ],
  ])('%s', async (_, content, code, word) => {
    const file = folder.put('refused', await content());
    const refusal = await scanInfo(file).catch((error: unknown) => error);
    expect(refusal).toMatchObject({ name: 'ScanError', code });
    expect(String(refusal)).toContain(word);
    expect(String(refusal)).toMatch(/^ScanError: [^\n]+ expected [^\n]+\.$/);
  });
});

describe('what is no image at all', () => {
  const svg = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>';
  test.each<[string, string | Buffer, string]>([
    ['text', 'no picture here, only words', 'scan-not-an-image'],
    ['an empty file', '', 'scan-not-an-image'],
    ['a drawing (its decoder is shut off)', svg, 'scan-not-an-image'],
    [
      'a GIF (its decoder is shut off)',
      Buffer.from('R0lGODlhAQABAIAAAAAAAP///yH5BAAAAAAALAAAAAABAAEAAAIBRAA7', 'base64'),
      'scan-not-an-image',
    ],
    ['a TIFF cut before its directory', drawTiff(rgb16).subarray(0, 300), 'scan-cut-short'],
    ['a PNG cut in its header', drawPng({ ...size, samples: samples(3) }).subarray(0, 20), 'scan-cut-short'],
    ['a JPEG of two bytes', Buffer.from([0xff, 0xd8]), 'scan-cut-short'],
    ['a PDF', '%PDF-1.7 and the rest', 'scan-not-an-image'],
    ['a photo of a telephone', '\0\0\0\u0018ftypheic\0\0\0\0mif1heic', 'scan-not-an-image'],
  ])('%s', async (_, content, code) => {
    const refusal = await scanInfo(folder.put('unreadable', content)).catch((error: unknown) => error);
    expect(refusal).toMatchObject({ name: 'ScanError', code });
    expect(String(refusal)).toMatch(/^ScanError: [^\n]+ expected [^\n]+\.$/);
  });

  test.each([
    ['a PDF', '%PDF-1.7 and the rest'],
    ['a GIF image', 'GIF89a and the rest'],
    ['a HEIC image', '\0\0\0\u0018ftypheic\0\0\0\0mif1heic'],
    ['an AVIF image', '\0\0\0\u001cftypavif\0\0\0\0'],
  ])('%s is named', async (name, content) => {
    const file = folder.put('other', content);
    await expect(scanInfo(file)).rejects.toThrow(`${file}: ${name}; expected a TIFF, PNG, JPEG or WebP image.`);
  });

  test('a missing file and a folder', async () => {
    await expect(scanInfo(`${folder.path}/gone.tif`)).rejects.toMatchObject({
      code: 'scan-missing',
      message: expect.stringContaining('gone.tif: no such file'),
    });
    symlinkSync('back.tif', `${folder.path}/forth.tif`);
    symlinkSync('forth.tif', `${folder.path}/back.tif`);
    await expect(scanInfo(`${folder.path}/back.tif`)).rejects.toMatchObject({
      code: 'scan-missing',
      message: expect.stringContaining('back.tif: a link that leads back to itself'),
    });
    await expect(scanInfo(folder.path)).rejects.toMatchObject({ code: 'scan-not-an-image' });
  });
});

/** The strip or tile that a tag points at is said to lie near the end of the file. */
function misplaced(tiff: Buffer, tag: number): Buffer {
  const entry = Buffer.from([tag & 255, tag >> 8, 4, 0, 1, 0, 0, 0]);
  tiff.writeUInt32LE(tiff.length - 500, tiff.indexOf(entry) + 8);
  return tiff;
}

describe('a file whose pixels stop early is refused at the door, never filled up', () => {
  const noise = Uint8Array.from({ length: 3 * 64 * 64 }, (_, i) => (i * i * 31 + (i >> 3)) % 256);
  const page = { widthPx: 64, heightPx: 64, samples: noise };
  const raw = sharp(noise, { raw: { width: 64, height: 64, channels: 3 } });
  test.each<[string, () => Buffer | Promise<Buffer>, number]>([
    ['PNG', () => drawPng(page), 0.5],
    ['JPEG', () => raw.clone().jpeg().toBuffer(), 0.7],
    ['WebP', () => raw.clone().webp({ lossless: true }).toBuffer(), 0.9],
    ['TIFF, strip', () => misplaced(drawTiff(page), 273), 1],
    ['TIFF, tile', () => misplaced(drawTiff({ ...page, tilePx: 64 }), 324), 1],
  ])('%s', async (_, whole, share) => {
    const content = await whole();
    const file = folder.put('short', content.subarray(0, content.length * share));
    await expect(scanInfo(file)).rejects.toMatchObject({ name: 'ScanError', code: 'scan-cut-short' });
  });

  test('damage in the middle is found when it is read', async () => {
    const png = drawPng(page);
    const sound = await scanInfo(folder.put('sound.png', png));
    png.fill(0, png.length >> 1, (png.length >> 1) + 40);
    const file = folder.put('hole.png', png);
    await expect(readScan(file, null, 300, { ...sound, file })).rejects.toMatchObject({ code: 'scan-cut-short' });
    await expect(decodeWhole({ ...sound, file })).rejects.toMatchObject({
      code: 'scan-cut-short',
      facts: { widthPx: 64 },
    });
    await expect(decodeWhole(sound)).resolves.toBeUndefined();
  });

  test.each([
    ['png', () => drawPng(page)],
    ['jpeg', () => raw.clone().jpeg().toBuffer()],
  ])('%s with much hung behind its end is whole', async (format, whole) => {
    const file = folder.put('tail', Buffer.concat([await whole(), Buffer.alloc(10_000, 7)]));
    expect((await scanInfo(file)).format).toBe(format);
  });
});

test.each([
  ['drawing.tif', '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>'],
  ['picture.tif', Buffer.from('R0lGODlhAQABAIAAAAAAAP///yH5BAAAAAAALAAAAAABAAEAAAIBRAA7', 'base64')],
])('the decoder of %s is shut off, whatever the file is called', async (name, content) => {
  await expect(openImage(folder.put(name, content)).then((image) => image.metadata())).rejects.toThrow(
    'unsupported image format',
  );
});

test('what the decoder says of every strip is said once', () => {
  const { message } = damaged('a.tif', 'a TIFF', 'no such packing\nno such packing\n\nread error:\n');
  expect(message).toContain('cannot be decoded (no such packing; read error); expected a whole file.');
});
