/** The lines that a refused scan answers with, one place for their wording. */
import { ScanError } from './scanError.ts';
import type { ScanFacts } from './scanError.ts';

const SCAN_AGAIN = 'Scan in colour (RGB, 24 or 48 bit) and save as TIFF or PNG.';

export function notColour(file: string, what: string, facts: ScanFacts): ScanError {
  return new ScanError(
    'scan-not-colour',
    `${file}: ${what}; expected red, green and blue as scanned. ${SCAN_AGAIN}`,
    facts,
  );
}

/** @param depth '12-bit', '32-bit floating point' */
export function wrongDepth(file: string, depth: string, facts: ScanFacts): ScanError {
  return new ScanError(
    'scan-depth',
    `${file}: ${depth} values; expected whole numbers of 8 or 16 bits. ${SCAN_AGAIN}`,
    facts,
  );
}

export function notAnImage(file: string, what: string): ScanError {
  return new ScanError(
    'scan-not-an-image',
    `${file}: ${what}; expected a TIFF, PNG, JPEG or WebP image. Export the scan in one of these.`,
  );
}

export function fileError(file: string, error: unknown): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ENOENT' || code === 'ENOTDIR' || code === 'ENAMETOOLONG') {
    return new ScanError('scan-missing', `${file}: no such file; expected a scan. Check the name and the folder.`);
  }
  if (code === 'ELOOP') {
    return new ScanError(
      'scan-missing',
      `${file}: a link that leads back to itself; expected a scan. Name the file itself.`,
    );
  }
  if (code === 'EACCES' || code === 'EPERM') {
    return new ScanError('scan-unreadable', `${file}: reading is not permitted. Give yourself the right to read it.`);
  }
  return error;
}

/** Known by its first bytes, yet the decoder will not have it: say which of the two is wrong. */
export function notOpened(file: string, start: Buffer, error: unknown): ScanError {
  const why = error instanceof Error ? error.message : String(error);
  if (start.length === 0) return notAnImage(file, 'an empty file');
  const kind = kindByFirstBytes(start);
  if (kind === null) return notAnImage(file, otherByFirstBytes(start) ?? NO_IMAGE);
  if (why.includes('labq')) return notColour(file, 'an image already turned into Lab', {});
  if (why.includes('channel limit')) return notColour(file, 'an image of more than five channels', {});
  if (why.includes('pixel limit')) {
    return new ScanError(
      'scan-unreadable',
      `${file}: more than 2.5 gigapixels; expected at most A4 at 4800 dpi. Cut it up.`,
    );
  }
  return damaged(file, kind, why);
}

/** The decoder's words are kept: they tell a cut file from an unusual one. */
export function damaged(file: string, kind: string, why: string, facts: ScanFacts = {}): ScanError {
  const line = [
    ...new Set(
      why
        .trim()
        .split(/\s*\n\s*/)
        .map(withoutJargon),
    ),
  ]
    .filter((part) => part !== '')
    .join('; ')
    .replace(/:$/, '');
  return new ScanError(
    'scan-cut-short',
    `${file}: starts as ${kind} but cannot be decoded (${line}); expected a whole file. ` +
      `It is cut short, damaged or of a rare kind: copy it again or save it anew.`,
    facts,
  );
}

/** Which part of the decoder speaks, and where in its own buffers, tells nobody anything. */
function withoutJargon(part: string): string {
  return part
    .replace(/^Warning treated as error due to failOn setting$|^error in tile \d+ x \d+$/, '')
    .replace(
      /^(?:Input file has corrupt header: )?(?:tiff2vips: |VipsJpeg: |vipspng: |webp: )?(?:source input: )?/,
      '',
    );
}

export const NO_IMAGE = 'no image that can be read';

/** What people take for a scan at times: where each format's own first letters stand, after its specification. */
const OTHERS: readonly (readonly [at: number, letters: string, name: string])[] = [
  [0, 'GIF8', 'a GIF image'],
  [0, 'BM', 'a BMP image'],
  [0, '%PDF', 'a PDF'],
  [0, '8BPS', 'a PSD image'],
  [4, 'ftypavi', 'an AVIF image'],
  [4, 'ftyphe', 'a HEIC image'],
  [4, 'ftypmif', 'a HEIC image'],
  [4, 'ftyp', 'a film'],
  [4, 'jP  ', 'a JPEG 2000 image'],
  [4, 'JXL ', 'a JPEG XL image'],
  [0, 'v/1\x01', 'an OpenEXR image'],
  [0, 'PK\x03\x04', 'a ZIP archive'],
];

function otherByFirstBytes(b: Buffer): string | null {
  const start = b.toString('latin1');
  return OTHERS.find(([at, letters]) => start.startsWith(letters, at))?.[2] ?? null;
}

function kindByFirstBytes(b: Buffer): string | null {
  const text = b.toString('latin1');
  if (/^(II[*+]\0|MM\0[*+])/.test(text)) return 'a TIFF';
  if (text.startsWith('\x89PNG')) return 'a PNG';
  if (text.startsWith('\xff\xd8')) return 'a JPEG';
  if (text.startsWith('RIFF') && text.slice(8, 12) === 'WEBP') return 'a WebP';
  return null;
}
