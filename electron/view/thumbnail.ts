/** A small picture of a region at a stated scale. Runs in the worker. */
import type { BoxPx } from '../scans/readScan.ts';
import type { ThumbnailTask, ViewAnswer } from './messages.ts';
import { crop, lab } from './pictures.ts';
import { Recent } from './recent.ts';
import { PLACE_CELL_MM, thumbnailPlace } from './thumbnailPlace.ts';

/** The most cells that the place is looked for in: a whole page in cells of 0.4 mm has 400 000. */
const MOST_COLUMNS = 600;

/** By scan, colours, box and size: the same writing is shown on one paper after the other. */
const places = new Recent<BoxPx>(64);

/** PNG in sRGB. @throws ScanError when the box lies outside the scan */
export async function thumbnail(task: ThumbnailTask): Promise<ViewAnswer<Uint8Array>> {
  const { scan, folder, from, boxPx, dpi, size, laidOn } = task;
  const pxPerMm = dpi / 25.4;
  const windowPx = [size.columns * size.mmPerPixel * pxPerMm, size.rows * size.mmPerPixel * pxPerMm] as const;
  const name = [scan.hash, scan.colours.key, dpi, ...boxPx, ...windowPx].join(' ');
  const known = places.get(name);
  const place = known ?? (await newPlace());
  if (place === null) return { is: 'wants-pyramid' };
  places.set(name, place);
  return crop({ task: 'crop', scan, folder, from, boxPx: place, columns: size.columns, ...(laidOn && { laidOn }) });

  async function newPlace(): Promise<BoxPx | null> {
    const cells = Math.max(1, Math.min(MOST_COLUMNS, Math.round(boxPx[2] / pxPerMm / PLACE_CELL_MM)));
    const raster = await lab({ task: 'lab', scan, folder, from, boxPx, columns: cells });
    if (raster.is !== 'done') return null;
    return thumbnailPlace(boxPx, [scan.info.widthPx, scan.info.heightPx], windowPx, raster.value);
  }
}
