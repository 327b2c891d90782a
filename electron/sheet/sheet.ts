/** Reads a sheet and checks all that can be checked without looking at pixels. */
import { stat } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { readText, whyUnreadable } from '../files/readText.ts';
import { assembleSheet } from './assembleSheet.ts';
import { checkLinks } from './checkLinks.ts';
import { parseJson } from './jsonText.ts';
import type { LoadedScan, LoadedSheet, LoadedTarget } from './loadedSheet.ts';
import { nearFile } from './nearFile.ts';
import { newerFormat } from './newerFormat.ts';
import { openScans } from './openScans.ts';
import { schemaMessage } from './schemaMessage.ts';
import { SheetError } from './sheetError.ts';
import { sheetSchema } from './sheetSchema.ts';
import type { Sheet, SheetTarget } from './sheetSchema.ts';
import { TargetShelf } from './targetShelf.ts';

/**
 * What is wrong with the sheet itself throws. A file that cannot be used takes only its own regions with it: they are in
 * `problems`, and the others can still be measured.
 * @param path A sheet file, or a folder that holds `sheet.json`.
 * @throws SheetError
 */
export async function loadSheet(path: string): Promise<LoadedSheet> {
  const file = await sheetFile(resolve(path));
  const sheet = parseSheet(await sheetText(file), file);
  const folder = dirname(file);
  const warnings: string[] = [];
  const { scans, unusable } = await openScans(sheet, folder, warnings);
  const shelf = new TargetShelf(folder, sheet, scans, warnings);
  const named = [
    ...(sheet.target ? [{ target: sheet.target, own: null }] : []),
    ...sheet.scans.flatMap(({ id, target }) =>
      target && scans.has(id) ? [{ target, own: scans.get(id) ?? null }] : [],
    ),
  ];
  const loaded = new Map<SheetTarget, LoadedTarget | string>();
  for (const { target, own } of named) loaded.set(target, await loadedOrWhyNot(shelf, target, own));
  return assembleSheet(file, sheet, { scans, unusable }, (target) => loaded.get(target) ?? '', warnings);
}

async function loadedOrWhyNot(
  shelf: TargetShelf,
  named: SheetTarget,
  own: LoadedScan | null,
): Promise<LoadedTarget | string> {
  try {
    return await shelf.load(named, own);
  } catch (error) {
    if (!(error instanceof SheetError)) throw error;
    return error.message;
  }
}

/** @throws SheetError 'json-syntax', 'sheet-format', 'sheet-invalid' or what `checkLinks` finds */
export function parseSheet(text: string, fileName: string): Sheet {
  const value = parseJson(text, fileName);
  const format: unknown = value !== null && typeof value === 'object' ? Reflect.get(value, 'format') : undefined;
  if (format !== 'wetline-sheet/1') {
    const found = format === undefined ? 'no "format"' : `"format" is ${JSON.stringify(format)}`;
    const advice = newerFormat(String(format), 'wetline-sheet/1') ?? 'Is this the sheet?';
    throw new SheetError('sheet-format', `${fileName}: ${found}; expected "wetline-sheet/1". ${advice}`);
  }
  const checked = sheetSchema.safeParse(value);
  if (!checked.success) {
    throw new SheetError('sheet-invalid', `${fileName}: ${schemaMessage(sheetSchema, value, checked.error)}`);
  }
  checkLinks(checked.data, fileName);
  return checked.data;
}

async function sheetFile(path: string): Promise<string> {
  const isFolder = await stat(path).then(
    (s) => s.isDirectory(),
    () => false,
  );
  return isFolder ? join(path, 'sheet.json') : path;
}

async function sheetText(file: string): Promise<string> {
  try {
    return await readText(file);
  } catch (error) {
    const why = whyUnreadable(error);
    if (why === null) throw error;
    const hint = await nearFile(file);
    throw new SheetError(
      'sheet-missing',
      `${file}: ${why}; expected a sheet (JSON) or a folder with a sheet.json.${hint}`,
    );
  }
}
