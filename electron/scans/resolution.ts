/**
 * The resolution that an image file itself states. Read here rather than through the image library, which reports 72 for
 * a JPEG that says nothing, takes a TIFF without a unit for millimetres, and does not tell across from down.
 * Sources: TIFF 6.0 section 8; PNG (ISO/IEC 15948) pHYs; JFIF 1.02; Exif 2.3; WebP container specification.
 */
import { EndsEarly, readFrom, withBytes } from './fileBytes.ts';
import type { ReadBytes } from './fileBytes.ts';
import { jpegSegments } from './jpegSegments.ts';
import { pngChunks } from './pngChunks.ts';
import { tiffDirectory } from './tiffDirectory.ts';

export interface Resolution {
  readonly acrossDpi: number;
  readonly downDpi: number;
}

/** A number that no scanner was set to: it counts as none, and is told. */
export function isMadeUp({ acrossDpi }: Resolution): boolean {
  return MADE_UP_DPI.includes(acrossDpi);
}

/** null: the file states none, or none with a unit of length. Never throws on a damaged file: whoever decodes it will say so. */
export async function statedResolution(file: string): Promise<Resolution | null> {
  try {
    return plausible(await withBytes(file, fromContainer));
  } catch (error) {
    if (error instanceof EndsEarly) return null;
    throw error;
  }
}

async function fromContainer(read: ReadBytes): Promise<Resolution | null> {
  const start = await read(0, 12);
  if (start.toString('latin1', 1, 4) === 'PNG') return fromPng(read);
  if (start.readUInt16BE(0) === 0xffd8) return fromJpeg(read);
  if (start.toString('latin1', 0, 4) === 'RIFF' && start.toString('latin1', 8, 12) === 'WEBP') return fromWebp(read);
  return fromTiff(read);
}

async function fromTiff(read: ReadBytes): Promise<Resolution | null> {
  const directory = await tiffDirectory(read);
  const [across] = (await directory?.numbers(282)) ?? [];
  const [down] = (await directory?.numbers(283)) ?? [];
  const [unit] = (await directory?.numbers(296)) ?? [];
  // 2 is inch and holds when the tag is left out; 1 is an aspect ratio only.
  if (across === undefined || (unit !== undefined && unit !== 2 && unit !== 3)) return null;
  return perInch(across, down ?? across, unit === 3 ? 2.54 : 1);
}

async function fromPng(read: ReadBytes): Promise<Resolution | null> {
  for await (const { name, at } of pngChunks(read)) {
    if (name === 'pHYs') {
      const b = await read(at, 9);
      return b[8] === 1 ? perInch(b.readUInt32BE(0), b.readUInt32BE(4), 0.0254) : null;
    }
    if (name === 'IDAT') return null;
  }
  return null;
}

async function fromJpeg(read: ReadBytes): Promise<Resolution | null> {
  let exif: Resolution | null = null;
  for await (const { marker, at, length } of jpegSegments(read)) {
    if (marker !== 0xffe0 && marker !== 0xffe1) continue;
    const body = await read(at, length);
    const name = body.toString('latin1', 0, 4);
    const unit = body[7];
    if (name === 'JFIF' && (unit === 1 || unit === 2)) {
      return perInch(body.readUInt16BE(8), body.readUInt16BE(10), unit === 2 ? 2.54 : 1);
    }
    if (name === 'Exif') exif = await fromTiff(readFrom(body.subarray(6)));
  }
  return exif;
}

async function fromWebp(read: ReadBytes): Promise<Resolution | null> {
  for (let at = 12; ;) {
    const head = await read(at, 8);
    const length = head.readUInt32LE(4);
    if (head.toString('latin1', 0, 4) === 'EXIF') {
      const body = await read(at + 8, length);
      return fromTiff(readFrom(body.toString('latin1', 0, 4) === 'Exif' ? body.subarray(6) : body));
    }
    at += 8 + length + (length % 2);
  }
}

function perInch(across: number, down: number, factor: number): Resolution {
  return { acrossDpi: tidy(across * factor), downDpi: tidy(down * factor) };
}

/** 23622 pixels a metre mean 600 dpi, not 599.9988: whole numbers within 0.03 % are taken as meant. */
function tidy(dpi: number): number {
  const whole = Math.round(dpi);
  return Math.abs(dpi - whole) <= dpi * 3e-4 ? whole : Math.round(dpi * 100) / 100;
}

/**
 * What writers put that know no resolution: 0 or 1, one pixel a millimetre (libvips and all that is built on it), or a screen's 72 or 96. Nobody scans
 * writing at these, and taken at their word a page of 300 dpi would be four times too large. No source; common practice of programs.
 */
const MADE_UP_DPI: readonly number[] = [25.4, 72, 96];

/** No scanner sees finer, so the number is a slip; the same limit as a person's own entry has (sheetSchema.ts). */
const FINEST_DPI = 20_000;

function plausible(found: Resolution | null): Resolution | null {
  if (found === null || !(found.acrossDpi > 1) || !(found.downDpi > 1)) return null;
  if (!(found.acrossDpi <= FINEST_DPI) || !(found.downDpi <= FINEST_DPI)) return null;
  return found;
}
