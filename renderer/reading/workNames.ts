import { namesOf, type Names } from '../../analysis/report/names.ts';
import type { FindingsReport, Work } from '../../electron/backend/api.ts';

/** What the regions of an ink are called, for sentences. */
export function namesOfWork(work: Work, report: FindingsReport): Names {
  const papers = new Map(work.scans.map((scan) => [scan.id, scan.paper]));
  return namesOf(
    work.regions.map(({ region }) => ({
      id: region.id,
      kind: region.kind,
      nib: 'nib' in region ? (region.nib ?? null) : null,
      paper: region.paper ?? papers.get(region.scan) ?? null,
      run: region.kind === 'strip' ? (region.run ?? null) : null,
      liquid: region.kind === 'strip' ? (region.liquid ?? null) : null,
    })),
    report.findings.map(({ finding }) => finding),
  );
}
