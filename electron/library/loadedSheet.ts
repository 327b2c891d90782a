/** An ink's work as the jobs take it: its files in the store, all that can be checked without pixels checked. */
import { withoutDpi } from '../scans/scanInfo.ts';
import { agreedDpi } from '../sheet/openScans.ts';
import { assembleSheet } from '../sheet/assembleSheet.ts';
import { refusePoints } from '../sheet/checkTarget.ts';
import type { LoadedScan, LoadedSheet, LoadedTarget } from '../sheet/loadedSheet.ts';
import { matchPatches } from '../sheet/matchPatches.ts';
import { SheetError } from '../sheet/sheetError.ts';
import type { Sheet, SheetTarget } from '../sheet/sheetSchema.ts';
import type { DocumentScan, InkDocument } from './document.ts';
import { documentSheet } from './documentSheet.ts';
import type { Library } from './library.ts';
import { LibraryError } from './libraryError.ts';

/** Messages name files as they came in, never their places in the store. @throws LibraryError 'no-such-ink' */
export function loadedSheet(library: Library, ink: number): LoadedSheet {
  const document = library.document(ink);
  const warnings: string[] = [];
  const opened = openScans(library, document, warnings);
  // The sheet's layouts and references stay hashes: only this module reads them, and they are told apart by content.
  const sheet: Sheet = documentSheet(document, (hash, known) => known ?? hash);
  const loaded = new Map<string, LoadedTarget | string>();
  const load = (named: SheetTarget, own: LoadedScan | null): LoadedTarget | string => {
    const target = { ...named, scan: named.scan ?? own?.id ?? '' };
    const key = JSON.stringify([
      target.scan,
      target.layout,
      target.reference,
      target.pointsMm ?? null,
      target.white ?? null,
    ]);
    const result = loaded.get(key) ?? loadTarget(library, document, opened.scans, target);
    loaded.set(key, result);
    return result;
  };
  return assembleSheet(document.ink.name, sheet, opened, load, warnings);
}

function openScans(library: Library, document: InkDocument, warnings: string[]) {
  const scans = new Map<string, LoadedScan>();
  const unusable = new Map<string, string>();
  for (const scan of document.scans) {
    const opened = openScan(library, scan, warnings);
    if (typeof opened === 'string') unusable.set(scan.id, opened);
    else scans.set(scan.id, opened);
  }
  return { scans, unusable };
}

function openScan(library: Library, scan: DocumentScan, warnings: string[]): LoadedScan | string {
  const { id, hash, name, paper, side, of, dpi: given } = scan;
  const who = `scan “${id}”`;
  const problem = library.fileProblem(hash);
  const info = library.file(hash)?.info ?? null;
  if (problem !== null) return `${who}: ${problem}`;
  if (!info) return `${who}: ${name} is no scan; expected an image. Take it away and bring in the right file.`;
  if (given === undefined && info.dpi === null) {
    return (
      `${who}: ${name} ${withoutDpi(info)} and none was given; lengths in mm need one. ` +
      `Give the dpi that the scanner was set to, for instance 600.`
    );
  }
  const dpi = agreedDpi(who, name, info, given, warnings);
  for (const note of info.notes) warnings.push(`${who}: ${name}: ${note}`);
  return { id, file: info.file, info, dpi, paper: paper ?? null, side: side ?? 'front', of: of ?? null };
}

function loadTarget(
  library: Library,
  document: InkDocument,
  scans: ReadonlyMap<string, LoadedScan>,
  named: SheetTarget & { readonly scan: string },
): LoadedTarget | string {
  const scan = scans.get(named.scan);
  if (!scan) {
    const listed = document.scans.find(({ id }) => id === named.scan);
    const problem = listed && openScan(library, listed, []);
    return `target: ${typeof problem === 'string' ? problem : `no scan “${named.scan}”; expected one of this ink's.`}`;
  }
  try {
    const [layout, known] = [library.layout(named.layout), library.reference(named.reference)];
    if (!layout)
      return `target: its layout is not in the library; expected a layout file (wetline-target/1). Bring it in.`;
    if (!known) return `target: its reference is not in the library; expected a CGATS text. Bring it in.`;
    const reference = matchPatches(layout, known.reference, known.name);
    const { pointsMm } = named;
    if (pointsMm) refusePoints(pointsMm, scan);
    const { file: scanFile, info, dpi } = scan;
    const white = named.white === undefined ? null : whiteSheet(document, scans, named.white);
    if (typeof white === 'string') return white;
    return {
      scanFile,
      info,
      dpi,
      layout,
      reference,
      ...(pointsMm && { pointsMm }),
      ...(white && { white }),
    };
  } catch (error) {
    if (!(error instanceof SheetError) && !(error instanceof LibraryError)) throw error;
    return error instanceof LibraryError ? `target: ${error.message}` : error.message;
  }
}

function whiteSheet(
  document: InkDocument,
  scans: ReadonlyMap<string, LoadedScan>,
  id: string,
): NonNullable<LoadedTarget['white']> | string {
  const scan = scans.get(id);
  if (scan) return { info: scan.info, dpi: scan.dpi };
  const listed = document.scans.find((other) => other.id === id);
  const problem = listed ? 'it cannot be used: see there' : "expected one of this ink's scans";
  return `target: its white sheet is scan “${id}”; ${problem}. Choose another white sheet, or none.`;
}
