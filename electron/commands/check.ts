/** `wetline check FILE… [--json]`: readable or not, and what is in it. */
import { decodeWhole } from '../scans/decodeWhole.ts';
import { ScanError } from '../scans/scanError.ts';
import type { ScanFacts } from '../scans/scanError.ts';
import { scanInfo } from '../scans/scanInfo.ts';
import { readOptions } from './readOptions.ts';
import { oneLine } from './terminal.ts';
import type { Terminal } from './terminal.ts';
import { UsageError } from './usage.ts';

interface Checked {
  readonly file: string;
  readonly readable: boolean;
  readonly width: number | null;
  readonly height: number | null;
  readonly bits: number | null;
  readonly channels: number | null;
  readonly dpi: number | null;
  readonly icc: string | null;
  /** One line; null when the file is readable. */
  readonly problem: string | null;
}

export async function check(args: readonly string[], terminal: Terminal): Promise<number> {
  const { flags, positionals } = readOptions('check', args, { json: 'flag' });
  if (positionals.length === 0) throw new UsageError('check: no file; expected one or more scans to look at.');
  let allReadable = true;
  for (const file of positionals) {
    const { checked, notes } = await checkFile(file);
    allReadable &&= checked.readable;
    terminal.out(flags.has('json') ? `${JSON.stringify(checked)}\n` : `${oneLine(inWords(checked, notes))}\n`);
  }
  return allReadable ? 0 : 1;
}

async function checkFile(file: string): Promise<{ checked: Checked; notes: readonly string[] }> {
  let facts: ScanFacts = {};
  let notes: readonly string[] = [];
  let problem: string | null = null;
  try {
    const info = await scanInfo(file);
    facts = info;
    notes = info.notes;
    await decodeWhole(info);
  } catch (error) {
    if (error instanceof ScanError) facts = { ...facts, ...error.facts };
    // Whatever it is, the other files are looked at all the same.
    const message = error instanceof Error ? error.message : String(error);
    problem = oneLine(message.includes(file) ? message : `${file}: ${message}`);
  }
  const checked = {
    file,
    readable: problem === null,
    width: facts.widthPx ?? null,
    height: facts.heightPx ?? null,
    bits: facts.bits ?? null,
    channels: facts.channels ?? null,
    dpi: facts.dpi ?? null,
    icc: facts.icc ?? null,
    problem,
  };
  return { checked, notes };
}

function inWords(checked: Checked, notes: readonly string[]): string {
  const { file, width, height, bits, channels, dpi, icc } = checked;
  if (checked.problem !== null) return `not readable: ${checked.problem}`;
  const size = dpi === null || width === null || height === null ? '' : ` (${mm(width, dpi)} × ${mm(height, dpi)} mm)`;
  return [
    `readable: ${file}: ${width} × ${height} px${size}`,
    `${channels} channels of ${bits} bits`,
    dpi === null ? 'no resolution (give "dpi" in the sheet)' : `${dpi} dpi`,
    icc === null ? 'no ICC profile' : `ICC profile "${icc}" (not applied)`,
    ...notes,
  ].join(', ');
}

function mm(px: number, dpi: number): string {
  return ((px / dpi) * 25.4).toFixed(1);
}
