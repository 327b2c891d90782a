/** A part of a scan from top to bottom, a band at a time: whole pages pass through little memory. */
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { type BoxPx, readScan } from './readScan.ts';
import type { ScanInfo } from './scanInfo.ts';

/** Pixels in memory at a time where each band is found at once (a TIFF's strips): 9 MB at 16 bits. */
const BAND_PX = 1.5e6;
/** Other formats are decoded from the top for every band: fewer and larger ones, 48 MB at 16 bits. */
const BAND_PX_FROM_TOP = 8e6;

/** @param rowsOf Each band but the last has a multiple of so many rows. @throws ScanError */
export async function* scanBands(
  info: ScanInfo,
  dpi: number,
  [x, y, width, height]: BoxPx,
  rowsOf = 1,
): AsyncGenerator<DeviceRaster> {
  const pixels = info.format === 'tiff' ? BAND_PX : BAND_PX_FROM_TOP;
  const rows = Math.max(1, Math.floor(pixels / width / rowsOf)) * rowsOf;
  for (let top = y; top < y + height; top += rows) {
    yield await readScan(info.file, [x, top, width, Math.min(rows, y + height - top)], dpi, info);
  }
}
