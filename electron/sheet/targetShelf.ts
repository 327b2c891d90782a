/** The targets that a sheet names, each loaded once however many scans rely on it. */
import type { TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { readText, whyUnreadable } from '../files/readText.ts';
import { didYouMean, nearestWord } from '../nearestWord.ts';
import { ScanError } from '../scans/scanError.ts';
import { type ScanInfo, scanInfo, withoutDpi } from '../scans/scanInfo.ts';
import { BUILT_IN_LAYOUTS, BUILT_IN_REFERENCES } from './builtIn.ts';
import { refusePoints } from './checkTarget.ts';
import { parseLayout } from './layout.ts';
import type { LoadedScan, LoadedTarget } from './loadedSheet.ts';
import { matchPatches } from './matchPatches.ts';
import { nearFile } from './nearFile.ts';
import { placeOf } from './placeOf.ts';
import { agreedDpi } from './openScans.ts';
import { parseReference } from './reference.ts';
import { SheetError } from './sheetError.ts';
import type { Sheet, SheetTarget } from './sheetSchema.ts';

export class TargetShelf {
  private readonly loaded = new Map<string, Promise<LoadedTarget>>();
  private readonly folder: string;
  private readonly sheet: Sheet;
  private readonly scans: ReadonlyMap<string, LoadedScan>;
  private readonly warnings: string[];

  constructor(folder: string, sheet: Sheet, scans: ReadonlyMap<string, LoadedScan>, warnings: string[]) {
    this.folder = folder;
    this.sheet = sheet;
    this.scans = scans;
    this.warnings = warnings;
  }

  /**
   * @param own The scan that names the target, when one does: it is the target's scan unless another is named.
   * @throws SheetError
   */
  load(named: SheetTarget, own: LoadedScan | null): Promise<LoadedTarget> {
    const scan = named.scan ?? own?.id;
    const files = [this.fileOf(scan), this.fileOf(named.white)];
    const key = JSON.stringify([...files, named.layout, named.reference, named.pointsMm]);
    const before = this.loaded.get(key);
    if (before) return before;
    const target = this.read(named, scan);
    this.loaded.set(key, target);
    return target;
  }

  private async read(named: SheetTarget, scanName: string | undefined): Promise<LoadedTarget> {
    const scan = await this.scan(scanName, 'scan');
    const layout = await this.layout(named.layout);
    const reference = matchPatches(layout, await this.reference(named.reference), named.reference);
    const { pointsMm } = named;
    if (pointsMm) refusePoints(pointsMm, scan);
    const white = named.white === undefined ? null : await this.white(named.white, scan.scanFile);
    return { ...scan, layout, reference, ...(pointsMm && { pointsMm }), ...(white && { white }) };
  }

  private async white(name: string, targetFile: string): Promise<NonNullable<LoadedTarget['white']>> {
    const { scanFile, info, dpi } = await this.scan(name, 'white');
    if (scanFile !== targetFile) return { info, dpi };
    throw new SheetError(
      'white-is-target',
      `target.white: ${name} is the scan that the target itself lies on; expected a scan of a bare white sheet. ` +
        `Name that, or leave "white" out.`,
    );
  }

  private fileOf(scan: string | undefined): string | undefined {
    return scan === undefined ? undefined : (this.scans.get(scan)?.file ?? placeOf(this.folder, scan));
  }

  /** A scan of the sheet, by its id or its file, else a file of its own. @param key Which of the target's scans it is. */
  private async scan(
    name: string | undefined,
    key: 'scan' | 'white',
  ): Promise<Pick<LoadedTarget, 'scanFile' | 'info' | 'dpi'>> {
    if (name === undefined) {
      throw new SheetError('target-scan', `target: no "scan"; expected a file or a scan's id. Add it.`);
    }
    const who = key === 'scan' ? 'target' : 'target.white';
    const file = this.fileOf(name) ?? name;
    const known = [...this.scans.values()].find((scan) => scan.file === file);
    if (known) return { scanFile: known.file, info: known.info, dpi: known.dpi };
    const listed = this.sheet.scans.find((s) => s.id === name);
    let info: ScanInfo | null = null;
    try {
      info = await scanInfo(listed ? placeOf(this.folder, listed.file) : file);
      for (const note of info.notes) this.warnings.push(`${who}: ${name}: ${note}`);
      return { scanFile: info.file, info, dpi: agreedDpi(who, name, info, listed?.dpi, this.warnings) };
    } catch (error) {
      if (info && error instanceof SheetError && error.code === 'dpi-unknown') {
        throw new SheetError(
          error.code,
          `${who}: ${name} ${withoutDpi(info)} and the sheet gives no "dpi"; lengths in mm need one. ` +
            `List the file under "scans" with its "dpi" and name its id here.`,
        );
      }
      if (!(error instanceof ScanError)) throw error;
      const ids = this.sheet.scans.map((s) => s.id);
      if (error.code !== 'scan-missing') throw new SheetError(error.code, `${who}: ${error.message}`);
      const id = didYouMean(name, ids);
      const hint = id === '' ? await nearFile(file) : ` No scan's id either${id}`;
      throw new SheetError(error.code, `${who}: ${error.message}${hint}`);
    }
  }

  private async layout(name: string): Promise<TargetLayout> {
    const builtIn = BUILT_IN_LAYOUTS.get(name);
    if (builtIn) return builtIn;
    const expected = `a layout file (wetline-target/1), or one that is built in: ${named(name, BUILT_IN_LAYOUTS)}`;
    return parseLayout(await this.text(name, 'layout-missing', expected), name);
  }

  private async reference(name: string): Promise<TargetReference> {
    const builtIn = BUILT_IN_REFERENCES.get(name);
    if (builtIn) return parseReference(builtIn.text, name);
    const expected = `the target’s reference values (CGATS text), or built-in ones: ${named(name, BUILT_IN_REFERENCES)}`;
    return parseReference(await this.text(name, 'reference-missing', expected), name);
  }

  private async text(name: string, code: string, expected: string): Promise<string> {
    const file = placeOf(this.folder, name);
    try {
      return await readText(file);
    } catch (error) {
      const why = whyUnreadable(error);
      if (why === null) throw error;
      const hint = await nearFile(file);
      throw new SheetError(
        code,
        `target: ${file}: ${why}; expected ${expected}. Check the name and the folder.${hint}`,
      );
    }
  }
}

/** All names, and which of them was likely meant. */
function named(name: string, known: ReadonlyMap<string, unknown>): string {
  const names = [...known.keys()];
  const near = nearestWord(name, names);
  return `${names.join(', ')}${near === null ? '' : ` (did you mean "${near}"?)`}`;
}
