/** `wetline calibrate SHEET`: the target's report card alone, held against an earlier one when that is named. */
import { calibrationCard } from '../findings/calibrationCard.ts';
import { calibrationReport } from '../findings/calibrationReport.ts';
import { earlierReport } from '../findings/earlierReport.ts';
import { calibrationJson } from '../findings/findingsFile.ts';
import { writeWhole } from '../files/writeWhole.ts';
import { JobError } from '../jobs/jobError.ts';
import { calibrateSheet } from '../jobs/measureSheet.ts';
import { loadSheet } from '../sheet/sheet.ts';
import { SheetError } from '../sheet/sheetError.ts';
import { interruptible } from './interrupt.ts';
import { refuseOtherKinds, refuseOutputs } from './outputs.ts';
import { progressLine, tellWritten } from './progressLine.ts';
import { oneSheet, readOptions } from './readOptions.ts';
import { complain } from './terminal.ts';
import type { Terminal } from './terminal.ts';

export async function calibrate(args: readonly string[], terminal: Terminal): Promise<number> {
  const { flags, values, positionals } = readOptions('calibrate', args, {
    out: 'value',
    before: 'value',
    json: 'flag',
    force: 'flag',
    quiet: 'flag',
  });
  const path = oneSheet('calibrate', positionals);
  const quiet = flags.has('quiet');
  const force = flags.has('force');
  const loaded = await loadSheet(path);
  const [problem] = loaded.targetProblems;
  if (problem !== undefined) throw new JobError('target-unusable', problem);
  if (loaded.target === null && [...loaded.targets.values()].every((t) => t === null)) {
    throw new SheetError(
      'no-target',
      `${loaded.file}: no "target"; expected one with its scan, layout and reference. Add it.`,
    );
  }
  const before = values.get('before');
  const earlier = before === undefined ? [] : [await earlierReport(before)];
  const out = values.get('out');
  const files = new Map(out ? [['--out', out]] : []);
  await refuseOutputs(files, loaded, force, new Map(before === undefined ? [] : [['--before', before]]));
  refuseOtherKinds(files, { '--out': 'JSON' });

  const progress = progressLine(terminal, quiet);
  const outcome = await interruptible((signal) =>
    calibrateSheet(loaded, { onProgress: progress.show, signal }),
  ).finally(progress.clear);
  const { scanner = null, scannedAt = null } = outcome.target.info;
  const report = calibrationReport({ ...outcome, scanner, scannedAt, earlier, given: true });
  if (out) await writeWhole(out, calibrationJson(report), { force });
  if (flags.has('json')) terminal.out(calibrationJson(report));
  else if (!out) terminal.out(calibrationCard(report));
  tellWritten(terminal, quiet, [...files.values()]);
  if (!quiet) for (const warning of loaded.warnings) complain(terminal, `note: ${warning}`);
  return 0;
}
