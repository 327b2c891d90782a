/** A small picture of a region at a stated scale. */
import type { DoseSteps } from '../../analysis/measure/opacity/otherGround.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { PLACE_CELL_MM, thumbnailPlace } from '../view/thumbnailPlace.ts';
import type { PictureBytes, View, ViewScan } from '../view/view.ts';

export interface ThumbnailSize {
  readonly mmPerPixel: number;
  readonly columns: number;
  readonly rows: number;
}

/** The most cells that the place is looked for in: a whole page in cells of 0.4 mm has 400 000. */
const MOST_COLUMNS = 600;

/** PNG in sRGB. @param laidOn another ground that it is to be shown on; null: as scanned. @throws ScanError when the box lies outside the scan. */
export async function thumbnail(
  view: View,
  scan: ViewScan,
  dpi: number,
  boxPx: BoxPx,
  { mmPerPixel, columns, rows }: ThumbnailSize,
  laidOn: DoseSteps | null,
  signal?: AbortSignal,
): Promise<PictureBytes> {
  const pxPerMm = dpi / 25.4;
  const cells = Math.max(1, Math.min(MOST_COLUMNS, Math.round(boxPx[2] / pxPerMm / PLACE_CELL_MM)));
  const raster = await view.lab(scan, boxPx, cells, signal);
  const windowPx = [columns * mmPerPixel * pxPerMm, rows * mmPerPixel * pxPerMm] as const;
  const place = thumbnailPlace(boxPx, [scan.info.widthPx, scan.info.heightPx], windowPx, raster);
  return laidOn === null
    ? view.crop(scan, place, columns, signal)
    : view.cropLaidOn(scan, place, columns, laidOn, signal);
}
