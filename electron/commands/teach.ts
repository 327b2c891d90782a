/** `wetline teach SHEET`: the printed card's own reference, from a scan in which it lies beside the sheet's target. */
import { resolve } from 'node:path';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { taughtReferenceText } from '../../analysis/calibrate/teach.ts';
import { readText, whyUnreadable } from '../files/readText.ts';
import { writeWhole } from '../files/writeWhole.ts';
import { JobError } from '../jobs/jobError.ts';
import { WorkerPool } from '../jobs/pool.ts';
import type { Taught, TeachRequest } from '../jobs/teach.ts';
import { scanInfo } from '../scans/scanInfo.ts';
import { parseLayout } from '../sheet/layout.ts';
import type { LoadedSheet, LoadedTarget } from '../sheet/loadedSheet.ts';
import { agreedDpi } from '../sheet/openScans.ts';
import { loadSheet } from '../sheet/sheet.ts';
import { SheetError } from '../sheet/sheetError.ts';
import { interruptible } from './interrupt.ts';
import { refuseOtherKinds, refuseOutputs } from './outputs.ts';
import { progressLine } from './progressLine.ts';
import { oneSheet, readOptions } from './readOptions.ts';
import { complain } from './terminal.ts';
import type { Terminal } from './terminal.ts';

export async function teach(args: readonly string[], terminal: Terminal): Promise<number> {
  const { flags, values, lists, positionals } = readOptions('teach', args, {
    out: 'value',
    layout: 'value',
    scan: 'list',
    printer: 'value',
    force: 'flag',
    quiet: 'flag',
  });
  const path = oneSheet('teach', positionals);
  const quiet = flags.has('quiet');
  const force = flags.has('force');
  const loaded = await loadSheet(path);
  const target = knownTarget(loaded);
  const card = await cardLayout(values.get('layout'));
  if (card.name === target.layout.name) {
    throw new JobError(
      'card-is-target',
      `${loaded.file}: its target is "${card.name}", the card that is to be taught; expected another target with known values ` +
        `beside it. Name that one in the sheet.`,
    );
  }
  const out = values.get('out');
  const files = new Map(out ? [['--out', out]] : []);
  await refuseOutputs(files, loaded, force);
  refuseOtherKinds(files, { '--out': 'CGATS text' });
  const warnings = [...loaded.warnings];
  const scans = [asTask(target), ...(await furtherScans(target, lists.get('scan') ?? [], warnings))];

  const progress = progressLine(terminal, quiet);
  progress.show(0, scans.length, 'teaching');
  const taught = await interruptible((signal) => inThread({ scans, card }, signal)).finally(progress.clear);
  const printer = values.get('printer');
  const text = taughtReferenceText(taught.reference, {
    known: target.layout.name,
    // The person's own day, not Greenwich's; Sweden writes it as ISO does.
    date: new Date().toLocaleDateString('sv-SE'),
    ...(printer !== undefined && { printer }),
  });
  if (out) await writeWhole(out, text, { force });
  else terminal.out(text);
  if (out && !quiet) terminal.out(summary(out, taught));
  if (!quiet) for (const warning of [...warnings, ...taught.warnings]) complain(terminal, `note: ${warning}`);
  return 0;
}

function knownTarget(loaded: LoadedSheet): LoadedTarget {
  const [problem] = loaded.targetProblems;
  if (problem !== undefined) throw new JobError('target-unusable', problem);
  const target = loaded.target ?? [...loaded.targets.values()].find((t) => t !== null);
  if (target) return target;
  throw new SheetError(
    'no-target',
    `${loaded.file}: no "target"; expected the one with known values that lies beside the card, with its scan, layout and ` +
      `reference. Add it.`,
  );
}

async function cardLayout(file: string | undefined): Promise<TargetLayout> {
  if (file === undefined) return WETLINE_CARD.layout;
  try {
    return parseLayout(await readText(file), file);
  } catch (error) {
    const why = whyUnreadable(error);
    if (why === null) throw error;
    throw new SheetError('layout-missing', `--layout: ${file}: ${why}; expected a layout file (wetline-target/1).`);
  }
}

function asTask({ info, dpi, layout, reference, pointsMm, white }: LoadedTarget): TeachRequest['scans'][number] {
  return { info, dpi, layout, reference, pointsMm: pointsMm ?? null, white: white ?? null };
}

/** Of the same two pieces; where the target's points were given by hand, that was for the sheet's own scan only. */
async function furtherScans(
  target: LoadedTarget,
  files: readonly string[],
  warnings: string[],
): Promise<TeachRequest['scans']> {
  const scans: TeachRequest['scans'][number][] = [];
  const seen = new Set([target.scanFile]);
  for (const file of files) {
    if (seen.has(resolve(file))) {
      throw new SheetError(
        'scan-twice',
        `--scan: ${file} is taken already; a scan counts once. Scan both pieces anew, the card turned, or leave it out.`,
      );
    }
    seen.add(resolve(file));
    const info = await scanInfo(resolve(file));
    const dpi = agreedDpi('--scan', file, info, undefined, warnings);
    scans.push({ ...asTask(target), info, dpi, pointsMm: null });
  }
  return scans;
}

async function inThread(request: TeachRequest, signal: AbortSignal): Promise<Taught> {
  const pool = new WorkerPool(1);
  try {
    return await pool.teach({ task: 'teach', ...request }, signal);
  } finally {
    await pool.close();
  }
}

function summary(out: string, { reference }: Taught): string {
  const lengths = [...reference.patches.values()].map(({ u }) => Math.hypot(...(u ?? []))).toSorted((a, b) => a - b);
  const at = (share: number): string => lengths[Math.floor(share * (lengths.length - 1))].toFixed(1);
  const notes = (reference.notes ?? []).map((note) => `  ${note}\n`).join('');
  return (
    `${out}: ${lengths.length} patches, each known to ± ${at(0.5)} ΔE*ab in the median, ± ${at(1)} at worst (standard uncertainty)\n` +
    `${notes}  a sheet uses it with "layout": "card"\n`
  );
}
