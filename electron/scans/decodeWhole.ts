/** Whether every pixel of a scan can be decoded: a file that was cut short still has a sound header. */
import { openImage } from './openImage.ts';
import { plainTiff } from './plainTiff.ts';
import { damaged } from './refusals.ts';
import type { ScanInfo } from './scanInfo.ts';

/** Goes through the whole image a few lines at a time. @throws ScanError 'scan-cut-short' */
export async function decodeWhole(info: ScanInfo): Promise<void> {
  // Nothing is packed, and its rows reach to the last one.
  if (info.format === 'tiff' && (await plainTiff(info.file, info)) !== null) return;
  try {
    const image = await openImage(info.file, info.oddTags);
    // Averaged down to a thumbnail: every line is decoded, none is kept.
    await image.resize(16, 16, { fit: 'fill' }).raw().toBuffer();
  } catch (error) {
    throw damaged(
      info.file,
      `a ${info.format.toUpperCase()}`,
      error instanceof Error ? error.message : String(error),
      info,
    );
  }
}
