/** A part of a scan from top to bottom, a band at a time: whole pages pass through little memory. */
import { type CompiledCalibration, linearise, type LinearRoom, linearRoom } from '../../analysis/calibrate/apply.ts';
import { COLOURLESS_SCAN } from '../../analysis/calibrate/colourless.ts';
import { type GreyRange, greyRange, isGreyOnly, NOTHING_SEEN } from '../../analysis/raster/greyOnly.ts';
import type { DeviceRaster, LinearRaster } from '../../analysis/raster/raster.ts';
import { openPlain } from '../scans/openPlain.ts';
import { type BoxPx, readScan } from '../scans/readScan.ts';
import { damaged } from '../scans/refusals.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import { ScanError } from '../scans/scanError.ts';
import type { DeviceValues } from '../scans/deviceSource.ts';
import { EndOfRows } from '../scans/rows.ts';

/** Pixels in memory at a time where rows lie plain in the file: 3 MB at 16 bits. */
const PLAIN_PX = 0.5e6;
/** A packed TIFF is unpacked strip by strip, wherever one begins. */
const PACKED_TIFF_PX = 1.5e6;
/** Other formats are decoded from the top for every band: fewer and larger ones, 48 MB at 16 bits. */
const FROM_TOP_PX = 8e6;

/**
 * A band's pixels may be overwritten by those of the next.
 * @param boxPx Whole pixels inside the scan. @param rowsOf Each band but the last has a multiple of so many rows.
 * @param isWanted Of so many rows from this one on: others are left out where that spares reading them.
 * @throws ScanError
 */
export async function* scanBands(
  info: ScanInfo,
  dpi: number,
  boxPx: BoxPx,
  rowsOf = 1,
  isWanted?: (topPx: number) => boolean,
): AsyncGenerator<DeviceRaster> {
  const { file, bits } = info;
  const plain = await openPlain(info.unpacked ?? file, info);
  if (plain === null) {
    const pixels = info.format === 'tiff' ? PACKED_TIFF_PX : FROM_TOP_PX;
    for (const band of bandsOf(boxPx, pixels, rowsOf)) yield await readScan(file, band, dpi, info);
    return;
  }
  try {
    let spare: DeviceValues | undefined;
    for (const band of bandsOf(boxPx, isWanted ? 1 : PLAIN_PX, rowsOf)) {
      const [left, top, widthPx, heightPx] = band;
      if (isWanted?.(top) === false) continue;
      const data = await plain.source.read(band, spare);
      spare ??= data;
      yield { data, widthPx, heightPx, bits, dpi, originPx: [left, top] };
    }
  } catch (error) {
    throw error instanceof EndOfRows ? damaged(file, 'a TIFF', 'the file ends before its last row', info) : error;
  } finally {
    plain.close();
  }
}

/**
 * The linear signals of a box, put together from bands: what was scanned never lies in memory beside them.
 * @param room Of as many pixels. @param onBand Told each band as it was scanned.
 * @throws ScanError 'scan-not-colour' when red, green and blue are one all over it, and all over the scan
 */
export async function linearBox(
  info: ScanInfo,
  dpi: number,
  boxPx: BoxPx,
  calibration: CompiledCalibration,
  room: LinearRoom = linearRoom(boxPx[2] * boxPx[3]),
  onBand?: (band: DeviceRaster) => void,
): Promise<LinearRaster> {
  const [left, top, widthPx, heightPx] = boxPx;
  const { data, clipped } = room;
  let grey: GreyRange = NOTHING_SEEN;
  for await (const band of scanBands(info, dpi, boxPx)) {
    const from = (band.originPx[1] - top) * widthPx;
    onBand?.(band);
    grey = greyRange(band.data, grey);
    linearise(band, calibration, { data: data.subarray(3 * from), clipped: clipped.subarray(from) });
  }
  if (isGreyOnly(grey, widthPx * heightPx, info.bits) && (await isGreyAllOver(info, dpi))) {
    throw new ScanError('scan-not-colour', `${info.file}: ${COLOURLESS_SCAN}`);
  }
  return { data, widthPx, heightPx, dpi, originPx: [left, top], clipped };
}

/** White paper of a JPEG that was packed hard, and what a scanner has whitened, are grey to the last pixel; what lies beside them is not. */
async function isGreyAllOver(info: ScanInfo, dpi: number): Promise<boolean> {
  let grey: GreyRange = NOTHING_SEEN;
  for await (const band of scanBands(info, dpi, [0, 0, info.widthPx, info.heightPx])) {
    grey = greyRange(band.data, grey);
    if (grey === null) return false;
  }
  return true;
}

function bandsOf([x, y, width, height]: BoxPx, pixels: number, rowsOf: number): BoxPx[] {
  const rows = Math.max(1, Math.floor(pixels / width / rowsOf)) * rowsOf;
  const bands: BoxPx[] = [];
  for (let top = y; top < y + height; top += rows) bands.push([x, top, width, Math.min(rows, y + height - top)]);
  return bands;
}
