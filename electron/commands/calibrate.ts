/** `wetline calibrate SHEET`: the target's report card alone. */
import { calibrationCard } from '../findings/calibrationCard.ts';
import { calibrationJson } from '../findings/findingsFile.ts';
import { writeWhole } from '../files/writeWhole.ts';
import { JobError } from '../jobs/jobError.ts';
import { calibrateSheet } from '../jobs/measureSheet.ts';
import { loadSheet } from '../sheet/sheet.ts';
import { SheetError } from '../sheet/sheetError.ts';
import { interruptible } from './interrupt.ts';
import { refuseOutputs } from './outputs.ts';
import { progressLine } from './progressLine.ts';
import { oneSheet, readOptions } from './readOptions.ts';
import { complain } from './terminal.ts';
import type { Terminal } from './terminal.ts';

export async function calibrate(args: readonly string[], terminal: Terminal): Promise<number> {
  const { flags, values, positionals } = readOptions('calibrate', args, {
    out: 'value',
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
  const out = values.get('out');
  await refuseOutputs(new Map(out ? [['--out', out]] : []), loaded, force);

  const progress = progressLine(terminal, quiet);
  const { calibration } = await interruptible((signal) =>
    calibrateSheet(loaded, { onProgress: progress.show, signal }),
  ).finally(progress.clear);
  if (out) await writeWhole(out, calibrationJson(calibration), { force });
  if (flags.has('json')) terminal.out(calibrationJson(calibration));
  else if (!out) terminal.out(calibrationCard(calibration));
  if (!quiet) for (const warning of loaded.warnings) complain(terminal, `note: ${warning}`);
  return 0;
}
