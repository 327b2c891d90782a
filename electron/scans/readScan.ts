/** Pixels of a scan exactly as they were scanned, by region: memory grows with the region, not with the page. */
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import type { BoxPx, DeviceValues } from './deviceSource.ts';
import { openImage } from './openImage.ts';
import { openPlain } from './openPlain.ts';
import { damaged } from './refusals.ts';
import { EndOfRows } from './rows.ts';
import { ScanError } from './scanError.ts';
import { scanInfo } from './scanInfo.ts';
import type { ScanInfo } from './scanInfo.ts';

export type { BoxPx };

/**
 * @param boxPx What to read, widened to whole pixels and clipped to the scan; null: the whole first page.
 * @param dpi Kept with the pixels; the caller decides between the file's and the sheet's.
 * @param known What `scanInfo` told of this file, so that its header is read once only.
 * @throws ScanError when the file cannot be read or the box lies wholly outside it.
 */
export async function readScan(
  file: string,
  boxPx: BoxPx | null,
  dpi: number,
  known?: ScanInfo,
): Promise<DeviceRaster> {
  const info = known ?? (await scanInfo(file));
  const box = clipped(info, boxPx ?? [0, 0, info.widthPx, info.heightPx]);
  const [left, top, widthPx, heightPx] = box;
  const data = (await plainValues(info, box)) ?? (await decodedValues(info, box));
  return { data, widthPx, heightPx, bits: info.bits, dpi, originPx: [left, top] };
}

/** null: they do not lie plain in the file. */
async function plainValues(info: ScanInfo, box: BoxPx): Promise<DeviceValues | null> {
  if (info.format !== 'tiff' && info.unpacked === undefined) return null;
  const plain = await openPlain(info.unpacked ?? info.file, info);
  if (plain === null) return null;
  try {
    return await plain.source.read(box);
  } catch (error) {
    throw error instanceof EndOfRows ? damaged(info.file, 'a TIFF', 'the file ends before its last row', info) : error;
  } finally {
    plain.close();
  }
}

async function decodedValues(info: ScanInfo, [left, top, widthPx, heightPx]: BoxPx): Promise<DeviceValues> {
  const image = await openImage(info.unpacked ?? info.file, info.oddTags);
  const region = image.extract({ left, top, width: widthPx, height: heightPx }).removeAlpha();
  let bytes: Buffer;
  try {
    // 8-bit files are read as 8 bit: widened by the library, odd and even values would be scaled differently.
    bytes = await (
      info.bits === 16 ? region.toColourspace('rgb16').raw({ depth: 'ushort' }) : region.raw({ depth: 'uchar' })
    ).toBuffer();
  } catch (error) {
    throw damaged(info.file, `a ${info.format.toUpperCase()}`, error instanceof Error ? error.message : String(error));
  }
  const samples = 3 * widthPx * heightPx;
  if (bytes.length !== samples * (info.bits / 8)) {
    throw new Error(
      `${info.file}: ${bytes.length} bytes were decoded where ${samples} samples of ${info.bits} bits were due`,
    );
  }
  return info.bits === 16
    ? new Uint16Array(bytes.buffer, bytes.byteOffset, samples)
    : new Uint8Array(bytes.buffer, bytes.byteOffset, samples);
}

function clipped(info: ScanInfo, [x, y, width, height]: BoxPx): BoxPx {
  const left = Math.max(0, Math.floor(x));
  const top = Math.max(0, Math.floor(y));
  const right = Math.min(info.widthPx, Math.ceil(x + width));
  const bottom = Math.min(info.heightPx, Math.ceil(y + height));
  if (!(right > left && bottom > top)) {
    throw new ScanError(
      'scan-outside',
      `${info.file}: the region ${width} × ${height} px at (${x}, ${y}) lies outside the scan of ` +
        `${info.widthPx} × ${info.heightPx} px. Move it into the scan.`,
    );
  }
  return [left, top, right - left, bottom - top];
}
