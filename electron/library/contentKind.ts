/** What a file is, told by what is in it, not by its name. */
import { open, stat } from 'node:fs/promises';
import { encodingOf, LARGEST_TEXT_BYTES, readText } from '../files/readText.ts';
import { NO_IMAGE } from '../scans/refusals.ts';
import { ScanError } from '../scans/scanError.ts';
import { scanInfo } from '../scans/scanInfo.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import { parseJson } from '../sheet/jsonText.ts';
import { parseLayout } from '../sheet/layout.ts';
import { parseReference } from '../sheet/reference.ts';
import { parseSheet } from '../sheet/sheet.ts';
import { SheetError } from '../sheet/sheetError.ts';
import type { FileKind } from './storedFile.ts';

export interface ContentKind {
  readonly kind: FileKind;
  /** Ending of its name in the store, without the dot. */
  readonly ending: string;
  /** Of a scan what is in it (its `file` as given), of a layout its name, of a reference how many patches it has. */
  readonly about: { readonly info?: ScanInfo; readonly title?: string; readonly patches?: number };
  /** Why it is no use: one line. */
  readonly problem: string | null;
}

/** Letters of what may be any text. */
const LONGEST_SHOWN = 80;

const ENDINGS = { tiff: 'tif', png: 'png', jpeg: 'jpg', webp: 'webp' } as const;

/** @param name For messages: the name that the person knows it by. */
export async function contentKind(file: string, name: string): Promise<ContentKind> {
  if ((await stat(file)).size === 0) {
    const problem = `${name}: an empty file; expected a scan, a sheet, a layout or a reference. Copy it again.`;
    return { kind: 'other', ending: 'bin', about: {}, problem };
  }
  const text = await asText(file);
  const told = text === null ? null : textKind(text, name);
  if (told !== null) return told;
  try {
    const info = await scanInfo(file);
    return { kind: 'scan', ending: ENDINGS[info.format], about: { info }, problem: null };
  } catch (error) {
    if (!(error instanceof ScanError)) throw error;
    const isImage = error.code !== 'scan-not-an-image';
    const problem =
      isImage || !error.message.includes(NO_IMAGE)
        ? error.message.replaceAll(file, name)
        : `${name}: neither a scan nor a sheet, a layout or a reference; expected one of these. ` +
          `Scans are TIFF, PNG, JPEG or WebP images.`;
    return { kind: isImage ? 'scan' : 'other', ending: 'bin', about: {}, problem };
  }
}

function textKind(text: string, name: string): ContentKind | null {
  if (/^\s*BEGIN_DATA_FORMAT\b/im.test(text)) {
    return checked('reference', 'txt', () => ({ patches: parseReference(text, name).patches.size }));
  }
  if (!/^\uFEFF?\s*\{/.test(text)) return null;
  const format = /"format"\s*:\s*"([^"]*)"/.exec(text)?.[1] ?? '';
  if (format.startsWith('wetline-sheet/')) {
    return checked('sheet', 'json', () => {
      parseSheet(text, name);
      return {};
    });
  }
  if (format.startsWith('wetline-target/')) {
    return checked('layout', 'json', () => ({ title: parseLayout(text, name).name }));
  }
  return checked('other', 'json', () => {
    parseJson(text, name);
    throw new SheetError(
      'other-json',
      `${name}: JSON ${format === '' ? 'without a "format"' : `of format "${format.slice(0, LONGEST_SHOWN)}"`}; expected a sheet ("wetline-sheet/1") ` +
        `or a target's layout ("wetline-target/1").`,
    );
  });
}

function checked(kind: FileKind, ending: string, look: () => ContentKind['about']): ContentKind {
  try {
    return { kind, ending, about: look(), problem: null };
  } catch (error) {
    if (!(error instanceof SheetError)) throw error;
    return { kind, ending, about: {}, problem: error.message };
  }
}

/** Null: no text by its first bytes. */
async function asText(file: string): Promise<string | null> {
  if ((await stat(file)).size > LARGEST_TEXT_BYTES) return null;
  const handle = await open(file, 'r');
  try {
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(512), 0, 512, 0);
    const start = buffer.subarray(0, bytesRead);
    if (bytesRead === 0 || (start.includes(0) && encodingOf(start) === 'utf-8')) return null;
  } finally {
    await handle.close();
  }
  return await readText(file);
}
