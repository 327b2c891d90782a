/** A scan whose pixels lie plain in its file, read in place: any part of it at once, whatever its tags say beside them. */
import { closeSync, openSync } from 'node:fs';
import type { DeviceSource } from './deviceSource.ts';
import { plainTiff } from './plainTiff.ts';
import { fileError } from './refusals.ts';
import { rowsOf } from './rows.ts';
import type { ScanInfo } from './scanInfo.ts';

export interface OpenSource {
  readonly source: DeviceSource;
  close(): void;
}

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
