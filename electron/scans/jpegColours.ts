/** Whether a JPEG's values are red, green and blue, where its headers disagree. Sources: ITU-T T.871 (JFIF); ITU-T T.872, 6.5.3 (Adobe's part); from memory. */
import type { ReadBytes } from './fileBytes.ts';
import { isFrameHeader } from './jpegFrame.ts';
import { jpegSegments } from './jpegSegments.ts';

const JFIF_PART = 0xffe0;
const ADOBE_PART = 0xffee;

/**
 * Decoders take JFIF at its word that values are lightness and two colour differences, whatever else stands there; a picture of three
 * channels that was packed as red, green and blue then comes out in other colours.
 * @returns whether one header says RGB and another, which decoders follow, YCbCr
 * @throws EndsEarly
 */
export async function saysRgbInVain(read: ReadBytes): Promise<boolean> {
  let hasJfif = false;
  /** 0: red, green and blue. null: no such part. */
  let adobe: number | null = null;
  for await (const { marker, at, length } of jpegSegments(read)) {
    if (marker === JFIF_PART && length >= 5) hasJfif ||= (await read(at, 5)).toString('latin1') === 'JFIF\0';
    if (marker === ADOBE_PART && length >= 12) {
      const part = await read(at, 12);
      if (part.toString('latin1', 0, 5) === 'Adobe') adobe = part[11];
    }
    if (!isFrameHeader(marker)) continue;
    const frame = await read(at, length);
    if (frame[5] !== 3) return false;
    const names = String.fromCharCode(frame[6], frame[9], frame[12]);
    const saysRgb = names === 'RGB' || adobe === 0;
    return saysRgb && (hasJfif || (adobe !== null && adobe !== 0));
  }
  return false;
}
