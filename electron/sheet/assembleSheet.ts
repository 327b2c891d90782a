/** A sheet, its opened scans and its loaded targets put together: which scan has which target, which regions can be measured. */
import type { LoadedScan, LoadedSheet, LoadedTarget } from './loadedSheet.ts';
import type { OpenedScans } from './openScans.ts';
import { placeRegions } from './placeRegions.ts';
import type { Sheet, SheetTarget } from './sheetSchema.ts';

/** Loads what a sheet or a scan names as its target, or says in one line why it cannot. @param own The scan that names it. */
export type TargetLoader = (named: SheetTarget, own: LoadedScan | null) => LoadedTarget | string;

export function assembleSheet(
  file: string,
  sheet: Sheet,
  { scans, unusable: unreadable }: OpenedScans,
  load: TargetLoader,
  warnings: string[],
): LoadedSheet {
  const unusable = new Map(unreadable);
  const targetProblems: string[] = [];
  const take: TargetLoader = (named, scan) => {
    const target = load(named, scan);
    if (typeof target === 'string' && !targetProblems.includes(target)) targetProblems.push(target);
    return target;
  };
  const own = sheet.target ? take(sheet.target, null) : null;
  const targets = new Map<string, LoadedTarget | null>();
  for (const scan of sheet.scans) {
    const loaded = scans.get(scan.id);
    if (!loaded) continue;
    const target = scan.target ? take(scan.target, loaded) : own;
    if (typeof target === 'string') unusable.set(scan.id, target);
    else targets.set(scan.id, target);
  }
  return {
    file,
    sheet,
    scans,
    targets,
    target: typeof own === 'string' ? null : own,
    targetProblems,
    ...placeRegions(sheet, scans, unusable, warnings),
    warnings,
  };
}
