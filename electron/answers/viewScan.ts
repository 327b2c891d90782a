/** A scan with the colours that its address asks for. */
import { JobError } from '../jobs/jobError.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import { Recent } from '../view/recent.ts';
import type { ViewColours, ViewScan } from '../view/view.ts';
import { coloursOf, standingOf } from './standing.ts';

/** Of each library, by ink, its revision, scan and colours: pages ask for a score of tiles, and each had all of the ink's work laid out anew. */
const known = new WeakMap<Library, Recent<ViewScan>>();
const MOST_KNOWN = 16;

/**
 * Waits for a calibration that is on its way.
 * @param key The colours' name in the address; null: whatever they are now.
 * @throws JobError 'no-such-scan', 'scan-gone', and 'colours-changed' when the key is no longer the scan's
 */
export async function viewScan(
  library: Library,
  measuring: Measuring,
  ink: number,
  scan: string,
  key: string | null,
  signal?: AbortSignal,
): Promise<ViewScan> {
  const seen = known.get(library) ?? new Recent<ViewScan>(MOST_KNOWN);
  known.set(library, seen);
  const name = `${ink} ${library.revision(ink)} ${key} ${scan}`;
  const held = key === null ? undefined : seen.get(name);
  if (held && library.fileProblem(held.hash) === null) return held;
  const standing = standingOf(library, ink);
  const found = standing.scans.get(scan);
  if (!found) throw new JobError('no-such-scan', `No scan “${scan}” belongs to this ink; it may have been removed.`);
  const { file, dpi } = found;
  const broken = library.fileProblem(found.scan.hash);
  if (broken !== null || !file?.info) throw new JobError('scan-gone', broken ?? `${found.scan.name} is no scan.`);
  const changed = () =>
    new JobError('colours-changed', `Other colours belong to scan “${scan}” by now; ask for its work again.`);
  const now = () => coloursOf(found, (k) => measuring.calibrationProblem(k) !== null);
  const before = now();
  if (key !== null && before.key !== key) throw changed();
  const colours = await made();
  const view = { file: file.path, hash: file.hash, info: file.info, dpi, colours };
  // A calibration is made once and for all under its key; what a file's profile is worth may be learnt later.
  return key !== null && colours.by === 'calibration' ? seen.set(name, view) : view;

  async function made(): Promise<ViewColours> {
    if (before.by !== 'calibration' || !found!.target) return { key: before.key, by: plainBy(before.by) };
    const answer = await measuring.calibration(standing, found!.target, signal);
    if (!('problem' in answer)) return { by: 'calibration', key: answer.key, calibration: answer.calibration };
    if (key !== null) throw changed();
    const after = now();
    return { key: after.key, by: plainBy(after.by) };
  }
}

function plainBy(by: 'calibration' | 'profile' | 'assumed-srgb'): 'profile' | 'assumed-srgb' {
  return by === 'profile' ? 'profile' : 'assumed-srgb';
}
