/** An edit done to a document: pure, checked before anything is kept, with what refers to a thing going along. */
import { isDeepStrictEqual } from 'node:util';
import type { TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { type ScanInfo, withoutDpi } from '../scans/scanInfo.ts';
import { checkLinks } from '../sheet/checkLinks.ts';
import { refusePoints } from '../sheet/checkTarget.ts';
import { matchPatches } from '../sheet/matchPatches.ts';
import { regionOffScan } from '../sheet/placeRegions.ts';
import { schemaMessage } from '../sheet/schemaMessage.ts';
import { SheetError } from '../sheet/sheetError.ts';
import type { SheetRegion } from '../sheet/sheetSchema.ts';
import type { DocumentScan, DocumentTarget, Edit, InkDocument } from './document.ts';
import { documentSheet } from './documentSheet.ts';
import { editSchema } from './editSchema.ts';
import type { CheckedEdit } from './editSchema.ts';
import { counted, inkWords, regionWords, scanWords, targetWords } from './editWords.ts';
import type { EditWords } from './editWords.ts';
import { firstIdOf, newFirstId, sheetRegion, withFirstId } from './firstId.ts';
import { LibraryError } from './libraryError.ts';
import { ontoNow, type SoundEdit } from './ontoNow.ts';
import { renamedRegion, renamedScan, withoutRegions, withoutScans } from './referTo.ts';
import { uniqueName } from './uniqueName.ts';

/** What a document's files say, by content hash; null: not in the library, or of another kind. */
export interface DocumentFacts {
  scan(hash: string): Pick<ScanInfo, 'widthPx' | 'heightPx' | 'dpi' | 'madeUpDpi'> | null;
  layout(hash: string): TargetLayout | null;
  reference(hash: string): { readonly name: string; readonly reference: TargetReference } | null;
  /** First ids of the ink's regions, gone ones too, of which figures are kept. */
  measured(): Iterable<string>;
}

export interface Edited extends EditWords {
  readonly document: InkDocument;
  /** In words: what another window had changed, and now is as this edit says; null: nothing. */
  readonly overtook: string | null;
}

/** Null: the edit changes nothing. @throws LibraryError */
export function applyEdit(document: InkDocument, edit: Edit, facts: DocumentFacts): Edited | null {
  try {
    const { edit: onto, overtook } = ontoNow(document, checkedShape(edit));
    const { document: after, ...words } = edited(document, onto, facts);
    if (isDeepStrictEqual(after, document)) return null;
    checkLinks(
      documentSheet(after, (hash) => hash),
      document.ink.name,
    );
    return { document: after, overtook, ...words };
  } catch (error) {
    if (!(error instanceof SheetError)) throw error;
    throw new LibraryError(error.code, error.message);
  }
}

/** @throws LibraryError 'edit-invalid' */
function checkedShape(edit: Edit): CheckedEdit {
  // As it would be kept: a key without a value is no key.
  const value: unknown = JSON.parse(JSON.stringify(edit));
  const checked = editSchema.safeParse(value);
  if (checked.success) return checked.data;
  throw new LibraryError('edit-invalid', `edit: ${schemaMessage(editSchema, value, checked.error)}`);
}

type Done = Omit<Edited, 'overtook'>;

function edited(document: InkDocument, edit: SoundEdit, facts: DocumentFacts): Done {
  switch (edit.edit) {
    case 'addRegion': {
      const { id } = edit.region;
      const names = document.regions.map((other) => other.id);
      const region = edit.proposed ? { ...edit.region, id: uniqueName(id, names) } : edit.region;
      refuseTaken('region', region.id, document.regions);
      refuseOffScan(region, document, facts);
      const added = withFirstId(region, newFirstId(region.id, document.regions, facts.measured()));
      const after = { ...document, regions: [...document.regions, added] };
      return { document: after, what: `add ${counted('region', [region.id])}`, same: null };
    }
    case 'changeRegion':
      return changedRegion(document, edit, facts);
    case 'removeRegions': {
      for (const id of edit.ids) known('region', id, document.regions);
      const ids = [...new Set(edit.ids)];
      return { document: withoutRegions(document, ids), what: `remove ${counted('region', ids)}`, same: null };
    }
    case 'changeScan':
      return changedScan(document, edit.id, edit.change);
    case 'removeScan': {
      known('scan', edit.id, document.scans);
      const on = document.regions.filter((region) => region.scan === edit.id).length;
      const along = on === 0 ? '' : on === 1 ? ' and its region' : ` and its ${on} regions`;
      return { document: withoutScans(document, [edit.id]), what: `remove scan “${edit.id}”${along}`, same: null };
    }
    case 'setTarget':
      return withTarget(document, edit.serves, edit.target ?? undefined, facts);
    case 'changeInk': {
      const claim = edit.claim === undefined ? (document.ink.claim ?? null) : edit.claim;
      const ink = {
        name: edit.name,
        ...(edit.maker !== null && { maker: edit.maker }),
        ...(claim !== null && { claim }),
      };
      return { document: { ...document, ink }, ...inkWords(document.ink, ink) };
    }
    case 'addScans': {
      const scans = [...document.scans];
      for (const scan of edit.scans) {
        refuseScanId(scan.id, scans);
        if (!facts.scan(scan.hash)) {
          throw new LibraryError(
            'no-such-file',
            `scan “${scan.id}”: ${scan.name} is not in the library as a scan; expected it there. Bring the file in first.`,
          );
        }
        scans.push(scan);
      }
      for (const { id, target } of edit.scans) if (target) refuseTarget({ ...document, scans }, id, target, facts);
      const ids = edit.scans.map(({ id }) => id);
      return { document: { ...document, scans }, what: `add ${counted('scan', ids)}`, same: null };
    }
  }
}

type RegionChange = Extract<CheckedEdit, { edit: 'changeRegion' }>;

function changedRegion(document: InkDocument, { id, region, together }: RegionChange, facts: DocumentFacts): Done {
  const before = known('region', id, document.regions);
  if (region.id !== id) refuseTaken('region', region.id, document.regions);
  // A region that lies off its scan already may still be named or typed.
  const placed = ['scan', 'boxMm', 'originMm', 'frontMm', 'travel'];
  if (placed.some((field) => !isDeepStrictEqual(Reflect.get(before, field), Reflect.get(region, field)))) {
    refuseOffScan(region, document, facts);
  }
  const regions = document.regions.map((other) => (other === before ? withFirstId(region, firstIdOf(before)) : other));
  return {
    document: renamedRegion({ ...document, regions }, id, region.id),
    ...regionWords(sheetRegion(before), region, together),
  };
}

type ScanChange = Extract<CheckedEdit, { edit: 'changeScan' }>['change'];

function changedScan(document: InkDocument, id: string, change: ScanChange): Done {
  const before = known('scan', id, document.scans);
  const { paper, side, of, dpi, ...kept } = before;
  const chosen = <T>(wanted: T | null | undefined, now: T | undefined): T | undefined =>
    wanted === undefined ? now : (wanted ?? undefined);
  const next = {
    paper: chosen(change.paper, paper),
    side: chosen(change.side, side),
    of: chosen(change.of, of),
    dpi: chosen(change.dpi, dpi),
  };
  const newId = change.id ?? id;
  if (newId !== id) refuseScanId(newId, document.scans);
  const after: DocumentScan = {
    ...kept,
    id: newId,
    ...(next.paper !== undefined && { paper: next.paper }),
    ...(next.side !== undefined && { side: next.side }),
    // A front names no front of its own: the link goes with the side.
    ...(next.of !== undefined && (next.side === 'back' || change.of !== undefined) && { of: next.of }),
    ...(next.dpi !== undefined && { dpi: next.dpi }),
  };
  const scans = document.scans.map((scan) => (scan === before ? after : scan));
  return { document: renamedScan({ ...document, scans }, id, newId), ...scanWords(before, after) };
}

function withTarget(
  document: InkDocument,
  serves: string,
  target: DocumentTarget | undefined,
  facts: DocumentFacts,
): Done {
  if (target) refuseTarget(document, serves, target, facts);
  if (serves === 'all') {
    const { target: before, ...rest } = document;
    return { document: { ...rest, ...(target && { target }) }, ...targetWords(serves, before, target) };
  }
  const scan = known('scan', serves, document.scans);
  const { target: before, ...rest } = scan;
  const after = { ...rest, ...(target && { target }) };
  const scans = document.scans.map((other) => (other === scan ? after : other));
  return { document: { ...document, scans }, ...targetWords(serves, before, target) };
}

function refuseTarget(document: InkDocument, serves: string, target: DocumentTarget, facts: DocumentFacts): void {
  const scan = known('scan', target.scan, document.scans);
  const whose = serves === 'all' ? 'the target' : `the target of “${serves}”`;
  const missing = (what: string, format: string) =>
    new LibraryError(
      'no-such-file',
      `${whose}: its ${what} is not in the library; expected ${format}. Bring the file in first.`,
    );
  const layout = facts.layout(target.layout);
  if (!layout) throw missing('layout', 'a layout file (wetline-target/1)');
  const known_ = facts.reference(target.reference);
  if (!known_) throw missing('reference', 'a CGATS text with the values of its patches');
  matchPatches(layout, known_.reference, known_.name);
  refuseWhite(document, whose, target);
  const info = facts.scan(scan.hash);
  const dpi = scan.dpi ?? info?.dpi ?? null;
  if (!target.pointsMm || !info) return;
  if (dpi === null) throw noResolution(scan, info);
  refusePoints(target.pointsMm, { info, dpi });
}

function refuseWhite(document: InkDocument, whose: string, { scan, white }: DocumentTarget): void {
  if (white === undefined) return;
  known('scan', white, document.scans);
  if (white !== scan) return;
  throw new LibraryError(
    'white-is-target',
    `${whose}: its white sheet is “${white}”, the scan that the target itself lies on; expected a scan of a bare white sheet. Choose another.`,
  );
}

function refuseOffScan(region: SheetRegion, document: InkDocument, facts: DocumentFacts): void {
  const scan = known('scan', region.scan, document.scans);
  const info = facts.scan(scan.hash);
  if (!info || !region.boxMm) return;
  const dpi = scan.dpi ?? info.dpi;
  if (dpi === null) throw noResolution(scan, info);
  const problem = regionOffScan(region, { id: scan.id, info, dpi });
  if (problem === null) return;
  throw new LibraryError('region-off-scan', `region off the scan: “${region.id}”: ${problem}`);
}

function noResolution({ id, name }: DocumentScan, info: Pick<ScanInfo, 'madeUpDpi'>): LibraryError {
  return new LibraryError(
    'dpi-unknown',
    `scan “${id}”: ${name} ${withoutDpi(info)} and none was given; lengths in mm need one. ` +
      `Give the dpi that the scanner was set to, for instance 600.`,
  );
}

/** 'all' is what the document's own target serves, so no scan may be called that. */
function refuseScanId(id: string, scans: readonly DocumentScan[]): void {
  if (id === 'all') {
    throw new LibraryError(
      'id-taken',
      `scan “all”: that word means all scans; expected a name of its own. Choose another.`,
    );
  }
  refuseTaken('scan', id, scans);
}

function refuseTaken(noun: string, id: string, things: readonly { readonly id: string }[]): void {
  if (things.every((thing) => thing.id !== id)) return;
  throw new LibraryError('id-taken', `${noun} “${id}” is there already; expected each name once. Choose another.`);
}

function known<T extends { readonly id: string }>(noun: 'scan' | 'region', id: string, things: readonly T[]): T {
  const found = things.find((thing) => thing.id === id);
  if (found) return found;
  const names = things.map((thing) => thing.id).join(', ');
  throw new LibraryError(
    `no-such-${noun}`,
    `no ${noun} “${id}”; expected ${names === '' ? 'one, but there is none' : `one of ${names}`}. It may have been removed meanwhile.`,
  );
}
