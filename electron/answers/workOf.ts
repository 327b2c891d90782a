/** An ink's work as the window shows it. */
import type { Work, WorkRegion, WorkScan } from '../backend/api.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { InkRow } from '../library/inkShelf.ts';
import { sheetRegion } from '../library/firstId.ts';
import type { Library } from '../library/library.ts';
import { levelsOf, TILE_SIZE } from '../view/levels.ts';
import { inkCard } from './inkCard.ts';
import { JobError } from '../jobs/jobError.ts';
import { scanColours } from './scanColours.ts';
import { standingFindings } from './storedFindings.ts';
import { standingOf, type Standing, type StandingScan } from './standing.ts';

/** @throws JobError 'no-such-ink' */
export function workOf(library: Library, measuring: Measuring, ink: number): Work {
  const row = library.inks().find((r) => r.id === ink);
  if (!row)
    throw new JobError('no-such-ink', `No ink ${ink} is on the shelf; it may have been taken off. Go to the shelf.`);
  const standing = standingOf(library, ink);
  const stored = standingFindings(library.findingsInOutline(ink), standing);
  const { document, scans } = standing;
  const failed = new Map(stored.problems.map((p) => [p.region, p.message]));
  return {
    ink: inkCard(row, standing, stored, (key) => knownOf(library, measuring, key)),
    revision: library.revision(ink),
    scans: [...scans.values()].map((s) => workScan(s, measuring)),
    target: document.target ?? null,
    regions: document.regions.map((region): WorkRegion => ({
      region: sheetRegion(region),
      problem: standing.problems.get(region.id) ?? failed.get(region.id) ?? null,
      measured: stored.regions.get(region.id) ?? 'never',
    })),
    ...library.history(ink),
    job: measuring.jobOf(ink),
  };
}

/** The same for a card alone, with what it was told from. */
export function inkCardOf(
  library: Library,
  measuring: Measuring,
  row: InkRow,
): { readonly card: Work['ink']; readonly standing: Standing } {
  const standing = standingOf(library, row.id);
  const stored = standingFindings(library.findingsInOutline(row.id), standing);
  return { card: inkCard(row, standing, stored, (key) => knownOf(library, measuring, key)), standing };
}

function knownOf(library: Library, measuring: Measuring, key: string): { poor: boolean; problem: string | null } {
  return {
    poor: library.judgement(key) === 'poor',
    problem: measuring.calibrationProblem(key),
  };
}

function workScan(standing: StandingScan, measuring: Measuring): WorkScan {
  const { scan, file, dpi, dpiFrom, problem } = standing;
  const info = file?.info ?? null;
  return {
    id: scan.id,
    hash: scan.hash,
    name: scan.name,
    paper: scan.paper ?? null,
    side: scan.side ?? 'front',
    of: scan.of ?? null,
    dpi,
    dpiFrom,
    widthPx: info?.widthPx ?? 0,
    heightPx: info?.heightPx ?? 0,
    bits: info?.bits ?? 8,
    icc: info?.icc ?? null,
    notes: info?.notes ?? [],
    problem: problem ?? targetProblem(standing, measuring),
    target: scan.target ?? null,
    colours: scanColours(standing, measuring),
    tileSize: TILE_SIZE,
    levels: info ? levelsOf(info.widthPx, info.heightPx) : 0,
  };
}

function targetProblem({ target }: StandingScan, measuring: Measuring): string | null {
  return target && measuring.calibrationProblem(target.key);
}
