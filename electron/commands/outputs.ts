/** Where a command will write, checked before any work starts. */
import { stat } from 'node:fs/promises';
import { dirname, extname, join, resolve } from 'node:path';
import { refuseUnmakeable } from '../files/outputFolder.ts';
import { OutputError, refuseUnwritable } from '../files/writeWhole.ts';
import type { LoadedSheet } from '../sheet/loadedSheet.ts';
import { placeOf } from '../sheet/placeOf.ts';

/**
 * @param files Files to be written, by their option.
 * @param read What the command reads beside the sheet's own files, by its option.
 * @throws OutputError when one cannot be written, is named twice, or is one that is read.
 */
export async function refuseOutputs(
  files: ReadonlyMap<string, string>,
  loaded: LoadedSheet,
  force: boolean,
  read: ReadonlyMap<string, string> = new Map(),
): Promise<void> {
  const readers = new Map<string, string>();
  for (const [option, file] of read) for (const name of await namesOf(resolve(file))) readers.set(name, option);
  for (const file of inputsOf(loaded)) for (const name of await namesOf(file)) readers.set(name, 'the sheet');
  const seen = new Map<string, string>();
  for (const [option, file] of files) {
    const absolute = resolve(file);
    const twin = seen.get(absolute);
    if (twin !== undefined) {
      throw new OutputError(
        'output-exists',
        `${option} and ${twin} both name ${file}; expected two files. Choose another name.`,
      );
    }
    seen.set(absolute, option);
    const [reader] = (await namesOf(absolute)).flatMap((name) => readers.get(name) ?? []);
    if (reader !== undefined) {
      throw new OutputError(
        'output-exists',
        `${option} names ${file}, which ${reader} reads; it is never replaced. Choose another name.`,
      );
    }
    await refuseUnwritable(file, force);
  }
}

/** Pictures that will be drawn; the folder is made when it is not there. @throws OutputError */
export async function refuseOverlays(folder: string, loaded: LoadedSheet, force: boolean): Promise<void> {
  const found = await stat(folder).catch(() => null);
  if (found === null) return await refuseUnmakeable(folder);
  if (!found.isDirectory()) {
    throw new OutputError(
      'output-not-a-file',
      `--overlays names ${folder}, a file; expected a folder. Choose another name.`,
    );
  }
  const pictures = [...loaded.scans.keys()].map((id): [string, string] => [
    `--overlays (scan "${id}")`,
    join(folder, `${id}.png`),
  ]);
  await refuseOutputs(new Map(pictures), loaded, force);
}

type Kind = 'JSON' | 'CSV' | 'PDF' | 'CGATS text';

const ENDS = { JSON: '.json', CSV: '.csv', PDF: '.pdf', 'CGATS text': '.txt' } as const satisfies Record<Kind, string>;
const PICTURES = ['.png', '.jpg', '.jpeg', '.tif', '.tiff', '.webp', '.svg'];

/**
 * A name that ends as another kind of file does would open in the wrong program.
 * @param kinds What the command writes, by option.
 * @throws OutputError
 */
export function refuseOtherKinds(
  files: ReadonlyMap<string, string>,
  kinds: Readonly<Record<string, Kind | undefined>>,
): void {
  for (const [option, file] of files) {
    const kind = kinds[option];
    const end = extname(file).toLowerCase();
    if (kind === undefined || end === ENDS[kind]) continue;
    // A text may bear any name, and CGATS has several.
    const others = [ENDS.JSON, ENDS.CSV, ENDS.PDF, ...PICTURES];
    if (!others.includes(end)) continue;
    const instead = Object.entries(kinds).find(([, its]) => its !== undefined && ENDS[its] === end)?.[0];
    throw new OutputError(
      'output-not-a-file',
      `${option} names ${file}, but writes ${kind}; expected a name that ends in ${ENDS[kind]}. ` +
        (instead === undefined ? 'Choose another name.' : `Write ${instead} ${file} if that is what you mean.`),
    );
  }
}

function inputsOf({ file, sheet }: LoadedSheet): string[] {
  const targets = [sheet.target, ...sheet.scans.map((s) => s.target)].flatMap((t) => t ?? []);
  const named = [
    ...sheet.scans.map((s) => s.file),
    ...targets.flatMap((t) => [t.scan ?? file, t.layout, t.reference, ...(t.white === undefined ? [] : [t.white])]),
  ];
  return [file, ...named.map((name) => placeOf(dirname(file), name))];
}

/** Its path, and what it is on its disk: links, and disks that know no capitals, give one file many paths. */
async function namesOf(absolute: string): Promise<string[]> {
  const there = await stat(absolute, { bigint: true }).catch(() => null);
  return there?.isFile() === true ? [absolute, `${there.dev}:${there.ino}`] : [absolute];
}
