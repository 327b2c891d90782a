/** `wetline card`: the calibration card to print at home, and its layout. */
import { resolve } from 'node:path';
import { cardPdf, type SheetSize } from '../card/cardPdf.ts';
import { layoutJson } from '../card/layoutJson.ts';
import { OutputError, refuseUnwritable, writeWhole } from '../files/writeWhole.ts';
import { didYouMean } from '../nearestWord.ts';
import { refuseOtherKinds } from './outputs.ts';
import { readOptions } from './readOptions.ts';
import { oneLine } from './terminal.ts';
import type { Terminal } from './terminal.ts';
import { UsageError } from './usage.ts';

const SIZES: ReadonlyMap<string, { readonly size: SheetSize; readonly name: string }> = new Map([
  ['a4', { size: 'a4', name: 'A4' }],
  ['letter', { size: 'letter', name: 'US Letter' }],
]);

export async function card(args: readonly string[], terminal: Terminal): Promise<number> {
  const { flags, values, positionals } = readOptions('card', args, {
    out: 'value',
    size: 'value',
    layout: 'value',
    force: 'flag',
    quiet: 'flag',
  });
  if (positionals.length > 0) {
    throw new UsageError(`card: takes no sheet, but has ${positionals.join(', ')}; expected options only. Remove it.`);
  }
  const out = values.get('out');
  if (out === undefined) throw new UsageError('card: no --out; expected the name of the PDF to write.');
  const sheet = sizeOf(values.get('size') ?? 'a4');
  const layout = values.get('layout') ?? layoutBeside(out);
  const force = flags.has('force');
  if (resolve(out) === resolve(layout)) {
    throw new OutputError(
      'output-exists',
      `--out and --layout both name ${out}; expected two files. Choose another name.`,
    );
  }
  const files = new Map([
    ['--out', out],
    ['--layout', layout],
  ]);
  refuseOtherKinds(files, { '--out': 'PDF', '--layout': 'JSON' });
  for (const file of files.values()) await refuseUnwritable(file, force);
  await writeWhole(out, await cardPdf(sheet.size), { force });
  await writeWhole(layout, layoutJson(), { force });
  if (!flags.has('quiet')) {
    terminal.out(
      `${oneLine(out)}: the card on ${sheet.name}; print it at 100 % without colour management.\n` +
        `${oneLine(layout)}: its layout; a sheet may also call it "card".\n`,
    );
  }
  return 0;
}

function sizeOf(name: string): { readonly size: SheetSize; readonly name: string } {
  const sheet = SIZES.get(name.toLowerCase());
  if (sheet !== undefined) return sheet;
  const known = [...SIZES.keys()];
  throw new UsageError(`card: --size is "${name}"; expected ${known.join(' or ')}${didYouMean(name, known) || '.'}`);
}

/** card.pdf → card-layout.json */
function layoutBeside(out: string): string {
  return `${out.replace(/\.pdf$/i, '')}-layout.json`;
}
