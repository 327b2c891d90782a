/** A scan's own pixels where they do not lie plain in its file: through the image library, or unpacked into a file where they do. */
import type { DeviceSource } from '../scans/deviceSource.ts';
import { openImage } from '../scans/openImage.ts';
import { readScan } from '../scans/readScan.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';

/** Bytes decoded at once where each read begins at the top of the file: fewer would decode the same rows over and over. */
const DECODED_BYTES = 24_000_000;

/** Through the image library; reads a box exactly, however the file is packed. */
export function decodedSource(file: string, info: ScanInfo): DeviceSource {
  const { widthPx, heightPx, bits } = info;
  return {
    widthPx,
    heightPx,
    bits,
    bandRows: Math.max(64, Math.floor(DECODED_BYTES / (widthPx * 3 * (bits / 8)))),
    read: async (box) => (await readScan(file, box, info.dpi ?? 0, info)).data,
  };
}

/** The same values, uncompressed, in a file that `openPlain` opens. Streamed: memory is a few rows. */
export async function copyPlain(file: string, info: ScanInfo, to: string): Promise<void> {
  const image = (await openImage(file, info.oddTags)).removeAlpha();
  const exact = info.bits === 16 ? image.toColourspace('rgb16') : image;
  await exact.tiff({ compression: 'none', bigtiff: true }).toFile(to);
}

/** Bytes of that copy, roughly. */
export function plainBytes(info: ScanInfo): number {
  return (info.widthPx * info.heightPx * 3 * info.bits) / 8;
}
