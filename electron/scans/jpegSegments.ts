/** A JPEG's parts up to its picture. Source: ITU-T T.81, B.1.1. */
import type { ReadBytes } from './fileBytes.ts';

export interface JpegSegment {
  /** 0xffc0 and above. */
  readonly marker: number;
  /** Where its content begins, and how long that is. */
  readonly at: number;
  readonly length: number;
}

const START_OF_SCAN = 0xffda;
const END_OF_IMAGE = 0xffd9;

/** Ends before the picture, and at what is no part. @throws EndsEarly */
export async function* jpegSegments(read: ReadBytes): AsyncGenerator<JpegSegment> {
  for (let at = 2; ;) {
    const marker = (await read(at, 2)).readUInt16BE(0);
    // B.1.1.2: any number of these bytes may stand before a marker.
    if (marker === 0xffff) {
      at++;
      continue;
    }
    if (marker < 0xffc0 || marker === START_OF_SCAN || marker === END_OF_IMAGE) return;
    const length = (await read(at + 2, 2)).readUInt16BE(0);
    if (length < 2) return;
    yield { marker, at: at + 4, length: length - 2 };
    at += 2 + length;
  }
}

/** Whether there is a profile, or a part of one: the image library keeps silent about one of which a part is missing. Source: ICC.1:2010, B.4. @throws EndsEarly */
export async function holdsProfile(read: ReadBytes): Promise<boolean> {
  for await (const { marker, at, length } of jpegSegments(read)) {
    if (marker === 0xffe2 && length > 14 && (await read(at, 12)).toString('latin1') === 'ICC_PROFILE\0') return true;
  }
  return false;
}
