/** A scan's own pixels as a source: in place where they lie plain in the file, else through the image library. */
import { closeSync, openSync } from 'node:fs';
import { openImage } from '../scans/openImage.ts';
import { readScan } from '../scans/readScan.ts';
import { fileError } from '../scans/refusals.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { DeviceSource } from './deviceSource.ts';
import { plainTiff } from './plainTiff.ts';
import { rowsOf } from './rows.ts';

export interface OpenSource {
  readonly source: DeviceSource;
  close(): void;
}

/** Bytes decoded at once where each read begins at the top of the file: fewer would decode the same rows over and over. */
const DECODED_BYTES = 24_000_000;

/** null: its pixels do not lie plain in the file. @throws ScanError when it is gone or may not be read */
export async function openPlain(
  file: string,
  info: Pick<ScanInfo, 'widthPx' | 'heightPx' | 'bits'>,
): Promise<OpenSource | null> {
  try {
    const place = await plainTiff(file, info);
    if (place === null) return null;
    const fd = openSync(file, 'r');
    return { source: rowsOf({ ...place, fd }), close: () => closeSync(fd) };
  } catch (error) {
    throw fileError(file, error);
  }
}

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
  const image = (await openImage(file)).removeAlpha();
  const exact = info.bits === 16 ? image.toColourspace('rgb16') : image;
  await exact.tiff({ compression: 'none', bigtiff: true }).toFile(to);
}

/** Bytes of that copy, roughly. */
export function plainBytes(info: ScanInfo): number {
  return (info.widthPx * info.heightPx * 3 * info.bits) / 8;
}
