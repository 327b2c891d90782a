/** What `wetline measure` does once its options are read: measures, writes, and says what could not be done. */
import type { Quantity } from '../../analysis/quantity.ts';
import { curvesCsv } from '../findings/curvesCsv.ts';
import { findingsCsv } from '../findings/findingsCsv.ts';
import { findingsJson } from '../findings/findingsFile.ts';
import { findingsTable } from '../findings/findingsTable.ts';
import { writeWhole } from '../files/writeWhole.ts';
import { JobError } from '../jobs/jobError.ts';
import { measureSheet } from '../jobs/measureSheet.ts';
import type { MeasureOutcome } from '../jobs/measureSheet.ts';
import type { WorkerPool } from '../jobs/pool.ts';
import type { LoadedSheet, RegionProblem } from '../sheet/loadedSheet.ts';
import { loadSheet } from '../sheet/sheet.ts';
import { SheetError } from '../sheet/sheetError.ts';
import { interruptible } from './interrupt.ts';
import { refuseOtherKinds, refuseOutputs, refuseOverlays } from './outputs.ts';
import { progressLine, tellWritten } from './progressLine.ts';
import { problemLines } from './regionProblems.ts';
import { complain } from './terminal.ts';
import type { Terminal } from './terminal.ts';
import { untoldBands } from './untoldBands.ts';

export interface MeasureArguments {
  readonly path: string;
  readonly flags: ReadonlySet<string>;
  readonly values: ReadonlyMap<string, string>;
}

/** @returns the exit code */
export async function measureInto(
  { path, flags, values }: MeasureArguments,
  pool: WorkerPool,
  terminal: Terminal,
): Promise<number> {
  const quiet = flags.has('quiet');
  const force = flags.has('force');
  const loaded = await loadSheet(path);
  if (loaded.regions.length === 0) throw nothingToMeasure(loaded.file, loaded.problems);
  const [out, csv, curves, overlays] = ['out', 'csv', 'curves', 'overlays'].map((name) => values.get(name));
  const files = new Map(
    [['--out', out] as const, ['--csv', csv] as const, ['--curves', curves] as const].flatMap(([option, file]) =>
      file === undefined ? [] : [[option, file] as const],
    ),
  );
  await refuseOutputs(files, loaded, force);
  refuseOtherKinds(files, { '--out': 'JSON', '--csv': 'CSV', '--curves': 'CSV' });
  if (overlays) await refuseOverlays(overlays, loaded, force);

  const progress = progressLine(terminal, quiet);
  const outcome = await interruptible((signal) =>
    measureSheet(
      loaded,
      { onProgress: progress.show, signal, force, ...(overlays && { overlaysDir: overlays }) },
      pool,
    ),
  ).finally(progress.clear);
  const { findings, doubtful } = finite(outcome.findings);
  const problems = [...loaded.problems, ...outcome.problems, ...doubtful, ...silent(loaded, outcome)];
  if (findings.length === 0) throw nothingToMeasure(loaded.file, problems);

  if (out) await writeWhole(out, findingsJson(outcome.calibration, findings), { force });
  if (csv) await writeWhole(csv, findingsCsv(findings), { force });
  if (curves) await writeWhole(curves, curvesCsv(findings), { force });
  if (flags.has('json')) terminal.out(findingsJson(outcome.calibration, findings));
  else if (!out) terminal.out(findingsTable(outcome.calibration, findings));
  tellWritten(terminal, quiet, [
    ...files.values(),
    ...(outcome.overlays.length > 0 ? [`pictures in ${overlays}`] : []),
  ]);
  const notes = [...loaded.warnings, ...untoldBands(loaded.regions, findings)];
  if (!quiet) for (const note of notes) complain(terminal, `note: ${note}`);
  const undone = [...problemLines(problems), ...outcome.undrawn];
  for (const line of undone) complain(terminal, line);
  return undone.length === 0 ? 0 : 1;
}

/** One line, although many regions may be concerned. */
function nothingToMeasure(file: string, problems: readonly RegionProblem[]): Error {
  const [first, ...others] = problemLines(problems);
  if (first === undefined) {
    return new SheetError(
      'no-regions',
      `${file}: no regions; expected at least one to measure. Add some with their "boxMm".`,
    );
  }
  return new JobError(
    'nothing-measured',
    others.length === 0
      ? first
      : `${first} (and ${others.length} more such ${others.length === 1 ? 'fault' : 'faults'})`,
  );
}

/** Asked for and neither measured nor refused: without this, exit code 0 would claim it had been. */
function silent({ regions }: LoadedSheet, { findings, problems }: MeasureOutcome): RegionProblem[] {
  const answered = new Set([...findings.flatMap((f) => f.subject.regions), ...problems.map((p) => p.region)]);
  return regions
    .filter(({ id }) => !answered.has(id))
    .map(({ id, kind }) => ({ region: id, message: `gave no finding; expected some from a region of kind "${kind}"` }));
}

/** A number that is none would turn into null in the file without a word: that is a defect of the program, and is said. */
function finite(findings: readonly Quantity[]): { findings: Quantity[]; doubtful: RegionProblem[] } {
  const doubtful: RegionProblem[] = [];
  const checked = findings.map((finding): Quantity => {
    if (isSound(finding.value) && isSound(finding.u) && isSoundCurve(finding.curve)) return finding;
    for (const region of finding.subject.regions) {
      doubtful.push({
        region,
        message: `${finding.quantity} came out as no number, which is a defect of this program; it is left null`,
      });
    }
    const { curve: _, ...rest } = finding;
    return { ...rest, value: null, u: null, flags: [...new Set([...finding.flags, 'cannot-tell' as const])] };
  });
  return { findings: checked, doubtful };
}

function isSound(value: Quantity['value']): boolean {
  return value === null || (typeof value === 'number' ? Number.isFinite(value) : value.every(Number.isFinite));
}

function isSoundCurve(curve: Quantity['curve']): boolean {
  return curve === undefined || [curve.x, ...curve.y].every(({ values }) => values.every(Number.isFinite));
}
