/** Which scanner made a file, and when, as the file itself says it. Sources: TIFF 6.0 tags 271, 272, 305, 306; Exif 2.3; PNG text. */
import type { Metadata } from 'sharp';
import { EndsEarly, readFrom, withBytes } from './fileBytes.ts';
import { tiffDirectory, type TiffDirectory } from './tiffDirectory.ts';

/** Any of the three may be missing; not all of them. */
export interface ScannerIdentity {
  readonly make: string | null;
  readonly model: string | null;
  /** What drove it: another software may set it differently. */
  readonly software: string | null;
}

export interface ScannedBy {
  readonly scanner: ScannerIdentity | null;
  /** '2026-05-03T10:15:00', local time; null: the file does not say. */
  readonly scannedAt: string | null;
}

const NOBODY: ScannedBy = { scanner: null, scannedAt: null };
const TAGS = { make: 271, model: 272, software: 305, dateTime: 306 } as const;

/** Never throws on a damaged file: whoever decodes it will say so. @param found what the image library read of it. */
export async function scannedBy(file: string, found: Metadata): Promise<ScannedBy> {
  try {
    if (found.format === 'tiff') return await withBytes(file, async (read) => saidBy(await tiffDirectory(read)));
    const exif = found.exif ? await saidBy(await tiffDirectory(readFrom(withoutName(found.exif)))) : NOBODY;
    return exif.scanner ? exif : { ...saidInText(found), scannedAt: exif.scannedAt };
  } catch (error) {
    if (error instanceof EndsEarly || error instanceof RangeError) return NOBODY;
    throw error;
  }
}

async function saidBy(directory: TiffDirectory | null): Promise<ScannedBy> {
  if (!directory) return NOBODY;
  const text = async (tag: number): Promise<string | null> => tidy(await directory.text(tag));
  const [make, model, software] = [await text(TAGS.make), await text(TAGS.model), await text(TAGS.software)];
  return { scanner: identity(make, model, software), scannedAt: isoTime(await text(TAGS.dateTime)) };
}

/** PNG's own keywords. */
function saidInText({ comments = [] }: Metadata): ScannedBy {
  const said = (keyword: string): string | null =>
    tidy(comments.find((c) => c.keyword.toLowerCase() === keyword)?.text ?? null);
  return { scanner: identity(said('make'), said('source') ?? said('model'), said('software')), scannedAt: null };
}

function identity(make: string | null, model: string | null, software: string | null): ScannerIdentity | null {
  return make === null && model === null && software === null ? null : { make, model, software };
}

function withoutName(exif: Buffer): Buffer {
  return exif.toString('latin1', 0, 4) === 'Exif' ? exif.subarray(6) : exif;
}

/** Longer is no name. */
const MOST_LETTERS = 80;

/** One line without control characters; null when nothing is left. */
function tidy(text: string | null): string | null {
  const plain = (text ?? '')
    .replace(/\0.*$/s, '')
    .replace(/[\p{Cc}\p{Cf}\s]+/gu, ' ')
    .trim()
    .slice(0, MOST_LETTERS)
    .trim();
  return plain === '' ? null : plain;
}

function isoTime(text: string | null): string | null {
  const found = /^(\d{4})[:-](\d\d)[:-](\d\d)[ T](\d\d):(\d\d):(\d\d)/.exec(text ?? '');
  if (!found || found[1] === '0000') return null;
  const [, year, month, day, hour, minute, second] = found;
  return `${year}-${month}-${day}T${hour}:${minute}:${second}`;
}
