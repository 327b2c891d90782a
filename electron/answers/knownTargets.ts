/** Layouts and references that a person can choose from: those that came in and those that are built in. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import type { KnownFrom, KnownLayout, KnownReference, KnownTargetFiles, TargetGrid } from '../backend/api.ts';
import { JobError } from '../jobs/jobError.ts';
import { BUILT_IN_LAYOUT_FILES, BUILT_IN_REFERENCE_FILES, builtInByHash, bytesOnce } from '../library/builtInFiles.ts';
import { LibraryError } from '../library/libraryError.ts';
import type { Library } from '../library/library.ts';
import type { NamedReference } from '../library/targetTexts.ts';
import { matchPatches } from '../sheet/matchPatches.ts';
import { SheetError } from '../sheet/sheetError.ts';

/** What the name of a taught reference begins with (taughtCard.ts). */
export const TAUGHT = 'Card taught ';

export function knownTargets(library: Library): KnownTargetFiles {
  const stored = library.targetFiles();
  const ofSample = sampleFiles(library);
  const from = (hash: string, name: string): KnownFrom =>
    ofSample.has(hash) ? 'sample' : name.startsWith(TAUGHT) ? 'taught' : 'brought';
  const cameIn = <T extends { readonly hash: string }>(files: readonly T[]): T[] =>
    files.filter(({ hash }) => builtInByHash(hash) === null);
  const layouts: KnownLayout[] = [
    ...cameIn(stored.layouts).map(({ hash, name, title }) => ({
      hash,
      name,
      title,
      from: from(hash, name),
      patches: soundly(() => layoutOf(library, hash))?.patches.length ?? 0,
    })),
    ...BUILT_IN_LAYOUT_FILES.map(({ hash, name, title, layout }) => ({
      hash,
      name,
      title,
      from: 'built-in' as const,
      patches: layout.patches.length,
    })),
  ];
  const references = [
    ...cameIn(stored.references).map(({ hash, name, patches }) => ({
      hash,
      name,
      title: name.replace(/\.[^.]*$/, ''),
      from: from(hash, name),
      patches,
    })),
    ...BUILT_IN_REFERENCE_FILES.map(({ hash, name, title, reference }) => ({
      hash,
      name,
      title,
      from: 'built-in' as const,
      patches: reference.patches.size,
    })),
  ];
  return {
    layouts,
    references: references.map((one): KnownReference => ({ ...one, misfits: misfits(library, one.hash, layouts) })),
  };
}

/** Files of targets that invented inks alone use: nobody holds such a target in their hands. */
function sampleFiles(library: Library): ReadonlySet<string> {
  const used = (invented: boolean): Set<string> =>
    new Set(
      library
        .inks()
        .filter((ink) => ink.invented === invented)
        .flatMap(({ id }) => {
          const { target, scans } = library.document(id);
          return [target, ...scans.map((scan) => scan.target)];
        })
        .flatMap((target) => (target ? [target.layout, target.reference] : [])),
    );
  const elsewhere = used(false);
  return new Set([...used(true)].filter((hash) => !elsewhere.has(hash)));
}

/** @throws JobError 'no-such-file' when one of the two is not known; SheetError when they do not fit */
export function targetGrid(library: Library, layoutHash: string, referenceHash: string): TargetGrid {
  const layout = layoutOf(library, layoutHash);
  if (!layout) throw notKnown('layout');
  const known = referenceOf(library, referenceHash);
  if (!known) throw notKnown('reference');
  const reference = matchPatches(layout, known.reference, known.name);
  const points = BUILT_IN_LAYOUT_FILES.find(({ hash }) => hash === layoutHash)?.points ?? null;
  return {
    layout: layout.name,
    pointsMm: layout.pointsMm,
    pointsWords: points ?? (layout.fiducial ? DISCS : CORNERS),
    patches: layout.patches.map(({ id, boxMm }) => {
      const lab = reference.patches.get(id)?.lab;
      return { id, boxMm, lab: lab ? [lab[0], lab[1], lab[2]] : null };
    }),
  };
}

/** A built-in file that a target names goes into the store: from then on it is the ink's own, whatever a later version builds in. */
export async function keepBuiltIns(library: Library, hashes: readonly string[]): Promise<void> {
  for (const hash of hashes) {
    const builtIn = builtInByHash(hash);
    if (builtIn) await library.addFile(bytesOnce(builtIn.bytes), builtIn.fileName);
  }
}

const DISCS = 'the middles of the four discs, the one with the light eye first';
const CORNERS = 'the outer corners of the corner patches, from the top left clockwise as the target is read';

function layoutOf(library: Library, hash: string): TargetLayout | null {
  return BUILT_IN_LAYOUT_FILES.find((file) => file.hash === hash)?.layout ?? library.layout(hash);
}

function referenceOf(library: Library, hash: string): NamedReference | null {
  const builtIn = BUILT_IN_REFERENCE_FILES.find((file) => file.hash === hash);
  return builtIn ? { name: builtIn.fileName, reference: builtIn.reference } : library.reference(hash);
}

function misfits(library: Library, hash: string, layouts: readonly KnownLayout[]): Record<string, string> {
  const why: Record<string, string> = {};
  for (const layout of layouts) {
    const problem = problemOf(() => {
      const [known, reference] = [layoutOf(library, layout.hash), referenceOf(library, hash)];
      if (known && reference) refuseMisfit(known, reference);
    });
    if (problem !== null) why[layout.hash] = problem;
  }
  return why;
}

/** What was told of a pair once: both are read once and stay what they are. */
const told = new WeakMap<TargetLayout, WeakMap<NamedReference['reference'], SheetError | null>>();

/** @throws SheetError */
function refuseMisfit(layout: TargetLayout, { name, reference }: NamedReference): void {
  const ofLayout = told.get(layout) ?? new WeakMap<NamedReference['reference'], SheetError | null>();
  told.set(layout, ofLayout);
  let why = ofLayout.get(reference);
  if (why === undefined) {
    why = null;
    try {
      matchPatches(layout, reference, name);
    } catch (error) {
      if (!(error instanceof SheetError)) throw error;
      why = error;
    }
    ofLayout.set(reference, why);
  }
  if (why) throw why;
}

/** A stored file may have gone, or be one that this version does not read: its line, and the others stay to be chosen. */
function problemOf(look: () => void): string | null {
  try {
    look();
    return null;
  } catch (error) {
    if (error instanceof LibraryError || error instanceof SheetError) return error.message;
    throw error;
  }
}

function soundly<T>(look: () => T): T | null {
  let found: T | null = null;
  problemOf(() => {
    found = look();
  });
  return found;
}

function notKnown(what: 'layout' | 'reference'): JobError {
  return new JobError(
    'no-such-file',
    `The target’s ${what} is not in the library; expected it there. Bring its file in.`,
  );
}
