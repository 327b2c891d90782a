/** A scan with the colours that its address asks for. */
import { JobError } from '../jobs/jobError.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import type { ViewColours, ViewScan } from '../view/view.ts';
import { coloursOf, standingOf } from './standing.ts';

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
  return { file: file.path, hash: file.hash, info: file.info, dpi, colours };

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
