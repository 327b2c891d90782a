/** What is in a scan's file, as a rule without decoding its pixels; refuses with one clear line what cannot be measured. */
import { createHash } from 'node:crypto';
import { open, stat } from 'node:fs/promises';
import type { Metadata } from 'sharp';
import { breaksChecksums } from './checksums.ts';
import { looksCutShort } from './cutShort.ts';
import { decodeWhole } from './decodeWhole.ts';
import { withBytes } from './fileBytes.ts';
import { firstPixel } from './firstPixel.ts';
import { iccLabel } from './iccProfile.ts';
import { isDamagedJpeg } from './jpegDamage.ts';
import { saysRgbInVain } from './jpegColours.ts';
import { jpegFrame } from './jpegFrame.ts';
import { holdsProfile } from './jpegSegments.ts';
import { openImage } from './openImage.ts';
import { packedWithLoss } from './packedWithLoss.ts';
import { isDamagedPng } from './pngChunks.ts';
import { damaged, fileError, notAnImage, notColour, notOpened, wrongDepth } from './refusals.ts';
import { isMadeUp, statedResolution } from './resolution.ts';
import { type ScannerIdentity, scannedBy } from './scannerIdentity.ts';
import { ScanError } from './scanError.ts';
import type { ScanFacts } from './scanError.ts';
import { pngColours, type StatedColours, statedWords } from './statedColours.ts';
import { type TiffFacts, tiffFacts } from './tiffFacts.ts';

export interface ScanInfo {
  readonly file: string;
  /** A file of the same values in plain rows, there while the scan is measured (jobs/plainCopies.ts). */
  readonly unpacked?: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Present when its pixels were packed with a loss that does harm, or as a palette of a few colours. Absent in what earlier versions stored. */
  readonly lossy?: true;
  /** Present when the decoder complains of its tags, which is passed over (firstPixel.ts). */
  readonly oddTags?: true;
  /** Of the values as they are read: a palette counts as its 8-bit colours. */
  readonly bits: 8 | 16;
  /** Channels in the file, alpha included; three are read. */
  readonly channels: number;
  /** Pixels an inch as the file states them; null: it states none. */
  readonly dpi: number | null;
  /** What it states instead where that is made up (resolution.ts). */
  readonly madeUpDpi?: number;
  /** What the embedded profile calls itself, else 'embedded'; null: none. It counts only where no target serves the scan (uncalibrated.ts). */
  readonly icc: string | null;
  /** Two scans with one hash say the same of their colours: by one profile, or by one `stated`. null: they say nothing. */
  readonly iccHash: string | null;
  /** Of a PNG that has no profile: what it says itself. It counts where a profile would. */
  readonly stated?: StatedColours;
  /** Present when a profile is there that leads to no colours: damaged, or not one for RGB. `icc` is null where not even its name could be read. */
  readonly iccUnusable?: true;
  readonly format: 'tiff' | 'png' | 'jpeg' | 'webp';
  /** Pages in the file; the first is read. */
  readonly pages: number;
  /** The EXIF orientation tag, 1 when upright or absent. Never applied. */
  readonly orientation: number;
  /** As the file names it; null: it does not. Absent in what earlier versions stored. */
  readonly scanner?: ScannerIdentity | null;
  /** '2026-05-03T10:15:00', local time; null: the file does not say. Absent as above. */
  readonly scannedAt?: string | null;
  /** What a person should know: a channel dropped, a palette expanded, pages not read. One short clause each. */
  readonly notes: readonly string[];
}

/** Bump when the same file gives other facts: libraries then read their scans anew (library/readScansAnew.ts). */
export const SCAN_READER = 7;

/** To be read after the file's name. */
export function withoutDpi({ madeUpDpi }: Pick<ScanInfo, 'madeUpDpi'>): string {
  return madeUpDpi === undefined ? 'carries no resolution' : `says ${madeUpDpi} dpi, as programs write that know none,`;
}

const NO_PNG = { stated: null, hasProfile: false, asVideo: false };
const FORMATS: readonly string[] = ['tiff', 'png', 'jpeg', 'webp'];

/** @throws ScanError when the file is missing, damaged, or no RGB image of 8 or 16 bits. */
export async function scanInfo(file: string): Promise<ScanInfo> {
  const start = await firstBytes(file);
  let found: Metadata;
  try {
    found = await (await openImage(file)).metadata();
  } catch (error) {
    const depth = (await tiffFacts(file))?.oddDepth;
    throw depth ? wrongDepth(file, depth, {}) : notOpened(file, start, error);
  }
  const tiff = found.format === 'tiff' ? await tiffFacts(file) : null;
  const said = await statedResolution(file);
  const resolution = said && !isMadeUp(said) ? said : null;
  const icc = found.icc ? iccLabel(found.icc) : null;
  const facts = {
    widthPx: found.width,
    heightPx: found.height,
    bits:
      found.depth === 'uchar' ? (found.bitsPerSample === 1 && !found.isPalette ? 1 : 8) : (found.bitsPerSample ?? 16),
    channels: found.channels as number,
    dpi: resolution && resolution.acrossDpi,
    icc: icc && icc.description,
  };
  refuseWhatIsNoColourScan(file, found, facts, tiff);
  const { format } = found;
  if (!isScanFormat(format)) throw notAnImage(file, `a file of type ${format}`);
  const frame = format === 'jpeg' ? await withBytes(file, jpegFrame).catch(() => null) : null;
  if (frame && frame.precision !== 8) throw wrongDepth(file, `${frame.precision}-bit`, facts);
  if (frame && (await withBytes(file, saysRgbInVain))) {
    throw notColour(file, 'a JPEG whose headers call its values both RGB and YCbCr', facts);
  }
  if (resolution && Math.abs(resolution.acrossDpi / resolution.downDpi - 1) > 0.01) {
    throw new ScanError(
      'scan-not-square',
      `${file}: ${resolution.acrossDpi} dpi across but ${resolution.downDpi} dpi down; expected square pixels. ` +
        `Scan again with one resolution for both directions.`,
      facts,
    );
  }
  const pages = found.pages ?? 1;
  if (tiff?.isPreview && pages + tiff.pagesBelow > 1) {
    throw new ScanError(
      'scan-preview',
      `${file}: its first page is a preview of ${found.width} × ${found.height} px; expected the scan itself in its place. ` +
        `Save the scan's own page alone.`,
      facts,
    );
  }
  const orientation = found.orientation ?? 1;
  const isPalette = found.isPalette || tiff?.isPalette === true;
  const packed = await packedWithLoss(file, format);
  const { stated, hasProfile, asVideo } = format === 'png' && !icc ? await pngColours(file) : NO_PNG;
  const lostProfile = format === 'jpeg' && !icc && (await withBytes(file, holdsProfile).catch(() => false));
  const iccUnusable = icc ? !icc.usable : hasProfile || lostProfile;
  const info: ScanInfo = {
    ...facts,
    file,
    bits: found.depth === 'ushort' ? 16 : 8,
    ...(said && !resolution && { madeUpDpi: said.acrossDpi }),
    iccHash: icc ? icc.hash : stated && hashOf(stated),
    ...(stated && { stated }),
    ...(iccUnusable && { iccUnusable: true as const }),
    format,
    ...((packed || isPalette) && { lossy: true as const }),
    pages,
    orientation,
    ...(await scannedBy(file, found)),
    notes: [
      ...(facts.channels === 4 ? ['its fourth channel (alpha) is left out'] : []),
      ...(facts.channels === 4 && tiff?.isMultiplied
        ? ['its colours were multiplied by that channel, and are divided by it']
        : []),
      ...(isPalette ? ['it keeps a palette of colours only, which is expanded to RGB'] : []),
      ...(iccUnusable ? ['its profile leads to no colours (damaged, or not one for RGB)'] : []),
      ...(asVideo ? ['it states its colours by code numbers, as videos do (cICP), which are not read'] : []),
      ...(tiff?.statesColours && !icc
        ? ['it states a tone curve or primaries of its own (TIFF tags 301, 319), which are not read']
        : []),
      ...(stated ? [`it has no profile, but states ${statedWords(stated)} (gAMA)`] : []),
      ...(said && !resolution
        ? [`the ${said.acrossDpi} dpi that it states are what programs write that know none`]
        : []),
      ...(resolution && resolution.acrossDpi > FINEST_TRIED_DPI ? [tooFine(resolution.acrossDpi)] : []),
      ...(packed ? ['it is packed with loss: colours run across the edges of lines'] : []),
      ...(pages > 1 ? [`only the first of its ${pages} pages is read`] : []),
      ...(orientation > 1
        ? [`its orientation tag (${orientation}) is not applied: boxes count from the stored top left`]
        : []),
    ],
  };
  const odd = format === 'tiff' && (await firstPixel(file, info)) === 'odd-tags';
  const opened = odd ? { ...info, oddTags: true as const } : info;
  // Decoding all of it is the proof, and only then worth its time.
  if (await looksCutShort(file, format)) await decodeWhole(opened);
  if (format === 'tiff' && (await breaksChecksums(file))) {
    throw damaged(file, 'a TIFF', 'parts of it differ from their own checksums', opened);
  }
  if (format === 'jpeg' && (await isDamagedJpeg(file))) {
    throw damaged(file, 'a JPEG', 'its packed values do not end where its picture does', opened);
  }
  if (format === 'png' && (await isDamagedPng(file))) {
    throw damaged(file, 'a PNG', 'parts of it differ from their own checksums', opened);
  }
  return opened;
}

/** Of pages drawn at 1200 dpi and less all measures were held against truth, of two at 2400 dpi alone. */
const FINEST_TRIED_DPI = 1200;

function tooFine(dpi: number): string {
  return `${dpi} dpi is finer than what was tried (${FINEST_TRIED_DPI}): scan at 600 or ${FINEST_TRIED_DPI} dpi`;
}

function hashOf(stated: StatedColours): string {
  return createHash('sha256').update(JSON.stringify(stated)).digest('hex');
}

function isScanFormat(format: string): format is ScanInfo['format'] {
  return FORMATS.includes(format);
}

function refuseWhatIsNoColourScan(file: string, found: Metadata, facts: ScanFacts, tiff: TiffFacts | null): void {
  const { space, channels, depth } = found;
  if (facts.bits === 1) throw notColour(file, 'a 1-bit black and white image', facts);
  if (space === 'b-w' || space === 'grey16' || channels < 3) throw notColour(file, 'a grey image', facts);
  if (space === 'cmyk') throw notColour(file, 'a CMYK image', facts);
  if (space === 'lab' || space === 'labs') throw notColour(file, 'an image already turned into Lab', facts);
  if (depth !== 'uchar' && depth !== 'ushort') throw wrongDepth(file, tiff?.oddDepth ?? `${facts.bits}-bit`, facts);
  if (tiff?.isYcc) throw notColour(file, 'an image turned into lightness and colour differences (YCbCr)', facts);
  if (channels > 4) throw notColour(file, `an image of ${channels} channels`, facts);
  if (space !== 'srgb' && space !== 'rgb16' && space !== 'rgb')
    throw notColour(file, space === 'multiband' ? 'an image of other channels' : `a ${space} image`, facts);
}

async function firstBytes(file: string): Promise<Buffer> {
  try {
    // Looked at before it is opened: a pipe would wait for ever.
    const kind = await stat(file);
    if (!kind.isFile()) throw notAnImage(file, kind.isDirectory() ? 'a folder' : 'no ordinary file');
    const handle = await open(file, 'r');
    try {
      const { buffer, bytesRead } = await handle.read(Buffer.alloc(16), 0, 16, 0);
      return buffer.subarray(0, bytesRead);
    } finally {
      await handle.close();
    }
  } catch (error) {
    throw fileError(file, error);
  }
}
