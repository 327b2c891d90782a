/**
 * The one door to the image library: what it may open and how.
 *
 * - Only TIFF, PNG, JPEG and WebP are decoded from files: a scan is somebody's file, and every further decoder
 *   (SVG, PDF, …) is one more thing that such a file could reach. Drawings that the program makes itself and hands
 *   over as SVG in memory stay possible.
 * - The cache is off: regions are read once, so it would only hold memory, and a scan replaced on disk must never be
 *   answered from it.
 */
import { getEnvironmentData, setEnvironmentData } from 'node:worker_threads';
import sharp from 'sharp';
import type { Sharp } from 'sharp';

/** A4 at 4800 dpi has 2.2 gigapixels; beyond that it is no scan but a trap. */
const MOST_PIXELS = 2_500_000_000;

/** The library is one for all threads of the process, so a worker that starts late must not close the door again, not even for a moment. */
const DONE = 'wetline: image loaders narrowed';
if (getEnvironmentData(DONE) !== true) {
  sharp.block({ operation: ['VipsForeignLoad'] });
  sharp.unblock({
    operation: [
      'VipsForeignLoadTiff',
      'VipsForeignLoadPng',
      'VipsForeignLoadJpeg',
      'VipsForeignLoadWebp',
      'VipsForeignLoadSvgBuffer',
    ],
  });
  setEnvironmentData(DONE, true);
}
sharp.cache(false);

/**
 * Asked for through openImage.ts, which loads this when it is needed.
 *
 * Opens the first page of an image file with its values as scanned: no profile applied, not turned by its orientation tag.
 * A damaged or short file fails instead of being filled up with grey.
 *
 * @param oddTags Of a TIFF of which firstPixel.ts found that only its tags are complained of: these complaints are passed over, while pixels that
 * cannot be unpacked still fail.
 */
export function openedBy(file: string, oddTags?: true): Sharp {
  const failOn = oddTags ? 'error' : 'warning';
  return sharp(file, { ignoreIcc: true, failOn, limitInputPixels: MOST_PIXELS, page: 0, pages: 1 });
}
