/** Files that came in → the scans that they add to an ink. */
import type { DocumentScan, InkDocument } from '../library/document.ts';
import { plainName } from '../library/plainName.ts';
import type { StoredFile } from '../library/storedFile.ts';

interface Named {
  readonly name: string;
  readonly hash: string;
  /** The answer to an earlier try got lost: what is here of it already came with that. */
  readonly isAgain?: boolean;
}

export interface NewScans {
  readonly scans: readonly DocumentScan[];
  /** Ids of these, and of those that an earlier try added. */
  readonly added: readonly string[];
  /** One line for each file that adds none, and why. */
  readonly problems: readonly string[];
}

/** @param fileOf What the store has; null: nothing of that content. */
export function scansFromUploads(
  uploads: readonly Named[],
  document: InkDocument,
  fileOf: (hash: string) => StoredFile | null,
): NewScans {
  const here = new Map(document.scans.map(({ hash, id }) => [hash, id]));
  const taken = new Set(['all', ...document.scans.map(({ id }) => id)]);
  const scans: DocumentScan[] = [];
  const added: string[] = [];
  const problems: string[] = [];
  for (const { name, hash, isAgain = false } of uploads) {
    const plain = plainName(name);
    const there = isAgain ? document.scans.find((scan) => scan.hash === hash) : undefined;
    if (there && !added.includes(there.id)) {
      added.push(there.id);
      continue;
    }
    const problem = whyNoScan(plain, fileOf(hash), here.get(hash));
    if (problem !== null) {
      problems.push(problem);
      continue;
    }
    const id = freeId(plain, taken);
    taken.add(id);
    here.set(hash, id);
    added.push(id);
    scans.push({ id, hash, name: plain });
  }
  return { scans, added, problems };
}

function whyNoScan(name: string, file: StoredFile | null, already: string | undefined): string | null {
  if (already !== undefined)
    return `${name}: the very same file is here already, as scan “${already}”. It was not added again.`;
  if (file === null)
    return `${name}: its bytes have not come in; expected them in the library. Bring the file in again.`;
  if (file.problem !== null) return file.problem;
  switch (file.kind) {
    case 'scan':
      return null;
    case 'sheet':
      return `${name}: a sheet, which makes an ink of its own. Open it from the shelf, together with its files.`;
    case 'layout':
      return `${name}: a target's layout. It is kept, and can be chosen for a target now.`;
    case 'reference':
      return `${name}: a target's reference values. They are kept, and can be chosen for a target now.`;
    case 'other':
      return `${name}: neither a scan nor anything that belongs to one; expected TIFF, PNG, JPEG or WebP.`;
  }
}

/** The file's name without its ending, and without what an id may not have; counted on when it is taken. */
function freeId(name: string, taken: ReadonlySet<string>): string {
  const plain = name
    .replace(/\.[^.]*$/, '')
    .replaceAll(/["/\\;\p{Cc}]+/gu, '-')
    .trim();
  // Dots alone are folders in an address, and signs without a body are nothing to see.
  const stem = /^[.\p{Cf}\p{Z}]*$/u.test(plain) ? 'scan' : plain;
  for (let count = 1; ; count++) {
    const id = count === 1 ? stem : `${stem}-${count}`;
    if (!taken.has(id)) return id;
  }
}
