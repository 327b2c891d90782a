/** How an ink's work stands: what each scan can be used for, and what each region's findings would be made from now. */
import type { LoadedScan, LoadedSheet, LoadedTarget } from '../sheet/loadedSheet.ts';
import { ASSUMED_SRGB_KEY, calibrationKey, profileKey } from '../jobs/coloursKey.ts';
import { contentKey } from '../jobs/contentKey.ts';
import { frontRegion } from '../jobs/frontOf.ts';
import { isMeasurable, type Measurable, measureOf, whyNotMeasured } from '../jobs/measurable.ts';
import { MEASURING_VERSION } from '../jobs/methodVersions.ts';
import { penRegion } from '../jobs/opacityFindings.ts';
import { pairsOf } from '../jobs/pairFindings.ts';
import { type PaperGroup, paperKey, paperName, papersOf, toPx } from '../jobs/paperGroups.ts';
import type { DocumentScan, DocumentTarget, InkDocument } from '../library/document.ts';
import { firstIdOf } from '../library/firstId.ts';
import type { Library } from '../library/library.ts';
import { loadedSheet } from '../library/loadedSheet.ts';
import type { StoredFile } from '../library/storedFile.ts';
import { type ScanInfo, withoutDpi } from '../scans/scanInfo.ts';
import { Recent } from '../view/recent.ts';

export interface StandingScan {
  readonly scan: DocumentScan;
  /** Null: the library does not know it. */
  readonly file: StoredFile | null;
  readonly dpi: number | null;
  readonly dpiFrom: 'file' | 'person' | 'nobody';
  /** Why it cannot be used. */
  readonly problem: string | null;
  /** The target that serves it, when that can be used. */
  readonly target: StandingTarget | null;
}

export interface StandingTarget {
  /** Its calibration's name, known before that is made. */
  readonly key: string;
  readonly named: DocumentTarget;
  readonly scan: DocumentScan;
  readonly loaded: LoadedTarget;
  /** Of the white sheet's scan; null: none. */
  readonly whiteHash: string | null;
}

export interface Standing {
  readonly ink: number;
  readonly document: InkDocument;
  readonly loaded: LoadedSheet;
  readonly scans: ReadonlyMap<string, StandingScan>;
  /** Each once, however many scans it serves. */
  readonly targets: readonly StandingTarget[];
  /** Region → why it cannot be measured. */
  readonly problems: ReadonlyMap<string, string>;
  /** Measurable region → the name of all that its findings depend on. */
  readonly madeFrom: ReadonlyMap<string, string>;
  /** Whether two regions are held against each other. */
  readonly isPair: (a: string, b: string) => boolean;
  /** Whether these are one pen's samples still, and a paper is still called so that its ink was foretold on. */
  readonly isPens: (regions: readonly string[], on: string | undefined) => boolean;
}

/** Laid out anew only when the ink has another revision or one of its files is another or has gone wrong. */
export function standingOf(library: Library, ink: number): Standing {
  const revision = library.revision(ink);
  const held = kept.get(library) ?? new Recent<Kept>(MOST_KEPT);
  kept.set(library, held);
  const known = held.get(String(ink));
  const isSame =
    known?.revision === revision &&
    known.files.every(
      ({ hash, file, problem }) => library.file(hash) === file && library.fileProblem(hash) === problem,
    );
  if (isSame) return known.standing;
  const standing = laidOut(library, ink);
  const files = filesOf(standing.document).map((hash) => ({
    hash,
    file: library.file(hash),
    problem: library.fileProblem(hash),
  }));
  return held.set(String(ink), { revision, files, standing }).standing;
}

interface Kept {
  readonly revision: number;
  readonly files: readonly {
    readonly hash: string;
    readonly file: StoredFile | null;
    readonly problem: string | null;
  }[];
  readonly standing: Standing;
}
/** A page's requests ask for one ink's a dozen times, and each time it took 3 ms. */
const kept = new WeakMap<Library, Recent<Kept>>();
const MOST_KEPT = 4;

/** Hashes of all that an ink's work rests on. */
function filesOf({ scans, target }: InkDocument): string[] {
  const targets = [target, ...scans.map((scan) => scan.target)].flatMap((one) => one ?? []);
  return [...new Set([...scans.map(({ hash }) => hash), ...targets.flatMap((t) => [t.layout, t.reference])])];
}

function laidOut(library: Library, ink: number): Standing {
  const document = library.document(ink);
  const loaded = loadedSheet(library, ink);
  const targets = targetsOf(library, document, loaded);
  const scans = new Map(
    document.scans.map((scan) => [scan.id, standingScan(library, scan, document, loaded, targets)]),
  );
  const measurable = loaded.regions.filter(isMeasurable);
  const papers = papersOf(loaded.scans, measurable);
  const pairs = pairsOf(measurable);
  const first = new Map(document.regions.map((region) => [region.id, firstIdOf(region)]));
  const nameOf = (region: Measurable): string => {
    const standing = scans.get(region.scan)!;
    const isAlone = region.kind === 'strip' || region.kind === 'reverse';
    const paper = isAlone ? null : (papers.get(paperKey(region)) ?? null);
    const scan = loaded.scans.get(region.scan)!;
    return madeFrom({ ...region, id: first.get(region.id)! }, scan, standing.scan.hash, measuredBy(standing), paper);
  };
  const nibs = new Map(measurable.map((region) => [region.id, penRegion(region).nib]));
  const paperNames = new Set(measurable.map(paperName));
  const paired = new Set([...pairs.nibs, ...pairs.papers, ...pairs.runs].map(([a, b]) => pairName(a, b)));
  return {
    ink,
    document,
    loaded,
    scans,
    targets,
    problems: problemsOf(loaded),
    madeFrom: new Map(
      measurable.map((region) => {
        const front = frontRegion(region, measurable);
        const own = nameOf(region);
        return [region.id, front ? contentKey({ own, front: nameOf(front) }) : own];
      }),
    ),
    isPair: (a, b) => paired.has(pairName(a, b)),
    isPens: (ids, on) => new Set(ids.map((id) => nibs.get(id))).size <= 1 && (on === undefined || paperNames.has(on)),
  };
}

/** What stands for a scan's colours now: the key is part of every picture's address. */
export function coloursOf(
  { target, file }: StandingScan,
  isImpossible: (key: string) => boolean,
): { readonly key: string; readonly by: 'calibration' | 'profile' | 'assumed-srgb' } {
  if (target && !isImpossible(target.key)) return { key: target.key, by: 'calibration' };
  const profile = profileOf(file);
  return profile === null ? { key: ASSUMED_SRGB_KEY, by: 'assumed-srgb' } : { key: profileKey(profile), by: 'profile' };
}

/** What a scan's device values are measured by: its calibration, else its profile; null: as sRGB. A region of an impossible target is not measured. */
function measuredBy({ target, file }: StandingScan): string | null {
  if (target) return target.key;
  const profile = profileOf(file);
  return profile && profileKey(profile);
}

/** Hash of the embedded profile; null: none that leads to colours. */
function profileOf(file: StoredFile | null): string | null {
  return file?.info?.iccUnusable ? null : (file?.info?.iccHash ?? null);
}

function targetsOf(library: Library, document: InkDocument, loaded: LoadedSheet): StandingTarget[] {
  const byKey = new Map<string, StandingTarget>();
  const take = (named: DocumentTarget | undefined, target: LoadedTarget | null | undefined): void => {
    const scan = document.scans.find((s) => s.id === named?.scan);
    if (!named || !target || !scan) return;
    const white = document.scans.find((s) => s.id === named.white)?.hash ?? null;
    const key = calibrationKey(named, scan.hash, target.dpi, white);
    if (library.file(scan.hash) && !byKey.has(key))
      byKey.set(key, { key, named, scan, loaded: target, whiteHash: white });
  };
  take(document.target, loaded.target);
  for (const scan of document.scans) take(scan.target, loaded.targets.get(scan.id));
  return [...byKey.values()];
}

function standingScan(
  library: Library,
  scan: DocumentScan,
  document: InkDocument,
  loaded: LoadedSheet,
  targets: readonly StandingTarget[],
): StandingScan {
  const file = library.file(scan.hash);
  const dpi = scan.dpi ?? file?.info?.dpi ?? null;
  const dpiFrom = scan.dpi === undefined ? (dpi === null ? 'nobody' : 'file') : 'person';
  const named = scan.target ?? document.target;
  const target = targets.find((t) => t.named === named) ?? sameTarget(targets, named) ?? null;
  return { scan, file, dpi, dpiFrom, problem: scanProblem(library, scan, dpi, file?.info ?? null, loaded), target };
}

/** Two scans may each name one target of their own, field by field the same. */
function sameTarget(targets: readonly StandingTarget[], named: DocumentTarget | undefined): StandingTarget | undefined {
  const wanted = contentKey(named ?? null);
  return targets.find((t) => contentKey(t.named) === wanted);
}

function scanProblem(
  library: Library,
  scan: DocumentScan,
  dpi: number | null,
  info: ScanInfo | null,
  loaded: LoadedSheet,
): string | null {
  const broken = library.fileProblem(scan.hash);
  if (broken !== null) return broken;
  if (dpi === null) {
    return (
      `${scan.name} ${withoutDpi(info ?? {})} and none was given; lengths in mm need one. ` +
      `Give the dpi that the scanner was set to, for instance 600.`
    );
  }
  if (loaded.targets.has(scan.id)) return null;
  const ofRegion = loaded.problems.find((p) =>
    loaded.sheet.regions.some((r) => r.id === p.region && r.scan === scan.id),
  );
  return loaded.targetProblems[0] ?? ofRegion?.message ?? null;
}

function problemsOf(loaded: LoadedSheet): ReadonlyMap<string, string> {
  const problems = new Map(loaded.problems.map((p) => [p.region, p.message]));
  for (const region of loaded.regions) {
    if (!isMeasurable(region)) problems.set(region.id, whyNotMeasured(region));
  }
  return problems;
}

/** Names and words are left out that no number depends on: a nib's, a paper's, the ink's own. The id that the region came with seeds its bootstrap. */
function madeFrom(
  region: Measurable,
  scan: LoadedScan,
  scanHash: string,
  calibration: string | null,
  paper: PaperGroup | null,
): string {
  return contentKey({
    version: MEASURING_VERSION,
    id: region.id,
    scanHash,
    dpi: scan.dpi,
    lossy: scan.info.lossy,
    calibration,
    boxPx: toPx(region.boxMm, scan),
    measure: measureOf(region),
    paper: paper && { boxPx: paper.boxPx, markedPx: paper.markedPx, writtenPx: paper.writtenPx },
  });
}

function pairName(a: string, b: string): string {
  return a < b ? `${a}\n${b}` : `${b}\n${a}`;
}
