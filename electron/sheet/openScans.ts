/** The scans of a sheet: which can be used, at what resolution, and why not the others. */
import { ScanError } from '../scans/scanError.ts';
import { scanInfo, withoutDpi } from '../scans/scanInfo.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { LoadedScan } from './loadedSheet.ts';
import { nearFile } from './nearFile.ts';
import { placeOf } from './placeOf.ts';
import { SheetError } from './sheetError.ts';
import type { Sheet } from './sheetSchema.ts';

export interface OpenedScans {
  readonly scans: Map<string, LoadedScan>;
  /** Scan id → why it cannot be used. */
  readonly unusable: Map<string, string>;
}

export async function openScans(sheet: Sheet, folder: string, warnings: string[]): Promise<OpenedScans> {
  const scans = new Map<string, LoadedScan>();
  const unusable = new Map<string, string>();
  for (const { id, file, paper, side, of, dpi: givenDpi } of sheet.scans) {
    try {
      const info = await scanInfo(placeOf(folder, file));
      const dpi = agreedDpi(`scan "${id}"`, file, info, givenDpi, warnings);
      scans.set(id, { id, file: info.file, info, dpi, paper: paper ?? null, side: side ?? 'front', of: of ?? null });
      for (const note of info.notes) warnings.push(`scan "${id}": ${file}: ${note}`);
    } catch (error) {
      if (!(error instanceof ScanError) && !(error instanceof SheetError)) throw error;
      const hint = error.code === 'scan-missing' ? await nearFile(placeOf(folder, file)) : '';
      unusable.set(id, error instanceof ScanError ? `scan "${id}": ${error.message}${hint}` : error.message);
    }
  }
  return { scans, unusable };
}

/** Wider than this at the stated resolution, no flatbed made it. */
const WIDEST_MM = 1000;

/**
 * The sheet's resolution when it gives one, else the file's.
 * @throws SheetError 'dpi-unknown'
 */
export function agreedDpi(
  who: string,
  file: string,
  info: ScanInfo,
  given: number | undefined,
  warnings: string[],
): number {
  const dpi = given ?? info.dpi;
  if (dpi === null) {
    throw new SheetError(
      'dpi-unknown',
      `${who}: ${file} ${withoutDpi(info)} and the sheet gives no "dpi"; lengths in mm need one. ` +
        `Add the dpi that the scanner was set to, for instance "dpi": 600.`,
    );
  }
  if (given !== undefined && info.dpi !== null && Math.abs(given / info.dpi - 1) > 0.02) {
    warnings.push(`${who}: ${file} says ${info.dpi} dpi, the sheet says ${given}; the sheet's is used`);
  }
  const widthMm = (Math.max(info.widthPx, info.heightPx) / dpi) * 25.4;
  if (widthMm > WIDEST_MM) {
    warnings.push(
      `${who}: at ${dpi} dpi ${file} would be ${Math.round(widthMm)} mm long; if that is not so, ` +
        `give the dpi that the scanner was set to in the sheet`,
    );
  }
  return dpi;
}
