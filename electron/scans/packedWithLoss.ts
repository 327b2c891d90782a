/**
 * Whether a scan's pixels were packed with a loss that does harm. Of JPEG nearly all of it comes from keeping two of the three channels at half
 * the resolution, whatever the quality (study of the sample: 17 to 59 of 285 findings beyond ± 2u, and at full resolution 7 to 11).
 * Source: TIFF 6.0 sections 21 and 22; WebP container specification.
 */
import { EndsEarly, readFrom, withBytes } from './fileBytes.ts';
import type { ReadBytes } from './fileBytes.ts';
import { jpegFrame, jpegTablesStep } from './jpegFrame.ts';
import type { ScanInfo } from './scanInfo.ts';
import { tiffDirectory } from './tiffDirectory.ts';

/** TIFF's tags and what they say of JPEG. */
const COMPRESSION = 259;
const JPEG = [6, 7];
const WEBP = 50001;
const STRIPS = 273;
const TILES = 324;
/** What all strips share: they stand in none of them then. */
const JPEG_TABLES = 347;
const PHOTOMETRIC = 262;
const YCC = 6;
const SAMPLING = 530;
const HALVED_UNLESS_SAID = [2, 2];

/** Mean step of the first table; of the standard's own, table K.1, 57.6. Programs call half of it quality 75. */
const COARSE_STEP = 30;

/** false where it cannot be told, as of a damaged file. */
export async function packedWithLoss(file: string, format: ScanInfo['format']): Promise<boolean> {
  if (format === 'png') return false;
  try {
    return await withBytes(file, { jpeg: jpegHasLoss, tiff: tiffHasLoss, webp: webpHasLoss }[format]);
  } catch (error) {
    if (error instanceof EndsEarly) return false;
    throw error;
  }
}

async function jpegHasLoss(read: ReadBytes): Promise<boolean> {
  const frame = await jpegFrame(read);
  return frame !== null && (frame.meanStep > COARSE_STEP || new Set(frame.sampling).size > 1);
}

async function tiffHasLoss(read: ReadBytes): Promise<boolean> {
  const directory = await tiffDirectory(read);
  if (directory === null) return false;
  const [[compression], [photometric], said, [strip], [tile], tables] = await Promise.all(
    [COMPRESSION, PHOTOMETRIC, SAMPLING, STRIPS, TILES, JPEG_TABLES].map((tag) => directory.numbers(tag)),
  );
  const first = from(read, strip ?? tile ?? 0);
  if (compression === WEBP) return await webpHasLoss(first);
  if (!JPEG.includes(compression)) return false;
  const sampling = said.length === 2 ? said : HALVED_UNLESS_SAID;
  if (photometric === YCC && sampling.some((times) => times > 1)) return true;
  const meanStep = (await jpegFrame(first))?.meanStep || (await jpegTablesStep(readFrom(Buffer.from(tables))));
  return meanStep > COARSE_STEP;
}

/** What lies in a file from there on, as a file of its own. */
function from(read: ReadBytes, start: number): ReadBytes {
  return (offset, length) => read(start + offset, length);
}

/** Of its chunks one holds the picture: 'VP8 ' with loss, always of halved colours, 'VP8L' without. */
async function webpHasLoss(read: ReadBytes): Promise<boolean> {
  for (let at = 12; ;) {
    const head = await read(at, 8);
    const name = head.toString('latin1', 0, 4);
    if (name === 'VP8 ' || name === 'VP8L') return name === 'VP8 ';
    const length = head.readUInt32LE(4);
    at += 8 + length + (length % 2);
  }
}
