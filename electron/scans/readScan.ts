/** Pixels of a scan exactly as they were scanned, by region: memory grows with the region, not with the page. */
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { openImage } from './openImage.ts';
import { damaged } from './refusals.ts';
import { ScanError } from './scanError.ts';
import { scanInfo } from './scanInfo.ts';
import type { ScanInfo } from './scanInfo.ts';

/** Left, top, width, height in pixels of the stored image. */
export type BoxPx = readonly [x: number, y: number, width: number, height: number];

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
  const [left, top, widthPx, heightPx] = clipped(info, boxPx ?? [0, 0, info.widthPx, info.heightPx]);
  const image = await openImage(info.unpacked ?? file);
  const region = image.extract({ left, top, width: widthPx, height: heightPx }).removeAlpha();
  let bytes: Buffer;
  try {
    // 8-bit files are read as 8 bit: widened by the library, odd and even values would be scaled differently.
    bytes = await (
      info.bits === 16 ? region.toColourspace('rgb16').raw({ depth: 'ushort' }) : region.raw({ depth: 'uchar' })
    ).toBuffer();
  } catch (error) {
    throw damaged(file, `a ${info.format.toUpperCase()}`, error instanceof Error ? error.message : String(error));
  }
  const samples = 3 * widthPx * heightPx;
  if (bytes.length !== samples * (info.bits / 8)) {
    throw new Error(
      `${file}: ${bytes.length} bytes were decoded where ${samples} samples of ${info.bits} bits were due`,
    );
  }
  const data =
    info.bits === 16
      ? new Uint16Array(bytes.buffer, bytes.byteOffset, samples)
      : new Uint8Array(bytes.buffer, bytes.byteOffset, samples);
  return { data, widthPx, heightPx, bits: info.bits, dpi, originPx: [left, top] };
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
