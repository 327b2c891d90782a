/**
 * Whether a scan's pixels were packed with a loss that does harm. Of JPEG nearly all of it comes from keeping two of the three channels at half
 * the resolution, whatever the quality (study of the sample: 17 to 59 of 285 findings beyond ± 2u, and at full resolution 7 to 11).
 * Source: ITU-T T.81, B.2.2 and B.2.4.1; TIFF 6.0 sections 21 and 22; WebP container specification.
 */
import { EndsEarly, withBytes } from './fileBytes.ts';
import type { ReadBytes } from './fileBytes.ts';
import type { ScanInfo } from './scanInfo.ts';
import { tiffDirectory } from './tiffDirectory.ts';

/** TIFF's tags and what they say of JPEG. */
const COMPRESSION = 259;
const JPEG = [6, 7];
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
  let coarse = false;
  for (let at = 2; ;) {
    const head = await read(at, 4);
    const marker = head.readUInt16BE(0);
    const length = head.readUInt16BE(2);
    if (marker < 0xffc0 || marker === 0xffda || length < 2) return coarse;
    if (marker === 0xffdb) coarse ||= isCoarse(await read(at + 4, length - 2));
    // Frame headers; the others of these numbers are tables.
    const isFrame = marker <= 0xffcf && ![0xffc4, 0xffc8, 0xffcc].includes(marker);
    if (isFrame) return coarse || isHalved(await read(at + 4, length - 2));
    at += 2 + length;
  }
}

/** @param tables A segment of quantization tables, of which the first is that of lightness; 8 or 16 bits a step. */
function isCoarse(tables: Buffer): boolean {
  const [bytes, table] = [tables[0] >> 4 === 0 ? 1 : 2, tables[0] & 15];
  if (table !== 0 || tables.length < 1 + 64 * bytes) return false;
  const steps = Array.from({ length: 64 }, (_, i) => tables.readUIntBE(1 + bytes * i, bytes));
  return steps.reduce((sum, step) => sum + step, 0) / 64 > COARSE_STEP;
}

/** @param frame A frame header: precision, height, width, and of each component its name, sampling and table. */
function isHalved(frame: Buffer): boolean {
  const sampling = Array.from({ length: frame[5] }, (_, i) => frame[7 + 3 * i]);
  return new Set(sampling).size > 1;
}

async function tiffHasLoss(read: ReadBytes): Promise<boolean> {
  const directory = await tiffDirectory(read);
  const numbers = async (tag: number) => (await directory?.numbers(tag)) ?? [];
  const [[compression], [photometric], said] = await Promise.all([COMPRESSION, PHOTOMETRIC, SAMPLING].map(numbers));
  const sampling = said.length === 2 ? said : HALVED_UNLESS_SAID;
  return JPEG.includes(compression) && photometric === YCC && sampling.some((times) => times > 1);
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
