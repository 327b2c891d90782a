/** What is to become of the files of one drop: pure, by their names and the texts of small JSON files. */

export interface Named {
  /** With '/' between folders. */
  readonly name: string;
  readonly bytes: number;
}

export interface Refused {
  readonly name: string;
  /** What was found, what was expected, what to do. */
  readonly words: string;
}

export interface Sorted<F extends Named> {
  /** A sheet and those of the files that it names, the sheet first. */
  readonly sheets: readonly (readonly F[])[];
  /** Images, and texts that may be a target's layout or reference. */
  readonly loose: readonly F[];
  readonly refused: readonly Refused[];
  /** Files of a brought folder that nobody asked for. */
  readonly leftAlone: readonly string[];
}

const IMAGE = /\.(tiff?|tf8|btf|png|jpe?g|jpe|jfif|webp)$/i;
/** Its bytes say what it is. */
const NO_ENDING = /^[^./]+$/;
const TEXT = /\.(json|txt|cgats|it8|ti[123]|cie)$/i;
const JUNK = /(^|\/)(\.[^/]*|thumbs\.db|desktop\.ini|__macosx)(\/|$)/i;

/** A sheet is a few kilobytes; what is larger is none. */
export const LARGEST_SHEET_BYTES = 4_000_000;

export function mayBeSheet({ name, bytes }: Named): boolean {
  return /\.json$/i.test(name) && bytes > 0 && bytes <= LARGEST_SHEET_BYTES && !JUNK.test(name);
}

/** @param texts of the files that may be a sheet, by name */
export function sortBrought<F extends Named>(files: readonly F[], texts: ReadonlyMap<string, string>): Sorted<F> {
  const known = files.filter(({ name }) => !JUNK.test(name));
  const sheets = known
    .filter(({ name }) => isSheet(texts.get(name)))
    .map((sheet) => {
      const wanted = new Set(filesNamedBy(texts.get(sheet.name) ?? '').map((name) => beside(sheet.name, name)));
      return [sheet, ...known.filter((file) => file !== sheet && wanted.has(file.name))];
    });
  const taken = new Set<F>(sheets.flat());
  const loose: F[] = [];
  const refused: Refused[] = [];
  const leftAlone: string[] = [];
  for (const file of known) {
    if (taken.has(file)) continue;
    const inFolder = file.name.includes('/');
    const isKind = [IMAGE, TEXT, NO_ENDING].some((kind) => kind.test(file.name));
    if (inFolder && (sheets.length > 0 || !isKind)) leftAlone.push(file.name);
    else if (file.bytes === 0) refused.push({ name: file.name, words: 'is empty; expected a scan. Copy it again.' });
    else if (isKind) loose.push(file);
    else refused.push({ name: file.name, words: foreignWords(file.name) });
  }
  return { sheets, loose, refused, leftAlone };
}

function isSheet(text: string | undefined): boolean {
  return text !== undefined && /"format"\s*:\s*"wetline-sheet\//.test(text);
}

/** File names in a sheet, as they stand there. A sheet that is no JSON names none: the backend says what is wrong with it. */
export function filesNamedBy(text: string): readonly string[] {
  let sheet: unknown;
  try {
    sheet = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch {
    return [];
  }
  const targets = [field(sheet, 'target'), ...list(sheet, 'scans').map((scan) => field(scan, 'target'))];
  const names = [
    ...list(sheet, 'scans').map((scan) => field(scan, 'file')),
    ...targets.flatMap((target) => ['scan', 'layout', 'reference', 'white'].map((name) => field(target, name))),
  ];
  return [...new Set(names.filter((name) => typeof name === 'string'))];
}

function field(value: unknown, name: string): unknown {
  return value !== null && typeof value === 'object' ? Reflect.get(value, name) : undefined;
}

function list(value: unknown, name: string): readonly unknown[] {
  const found = field(value, name);
  return Array.isArray(found) ? found : [];
}

/** 'curlew/sheet.json', '../targets/a.tif' → 'targets/a.tif'. */
function beside(sheet: string, name: string): string {
  const parts = sheet.split('/').slice(0, -1);
  for (const part of name.replaceAll('\\', '/').split('/')) {
    if (part === '..') parts.pop();
    else if (part !== '.' && part !== '') parts.push(part);
  }
  return parts.join('/');
}

function foreignWords(name: string): string {
  const ending = /\.([^./]+)$/.exec(name)?.[1].toUpperCase();
  const found = ending === undefined ? 'is of no known kind' : `is ${spokenWithN(ending) ? 'an' : 'a'} ${ending} file`;
  const expected = 'expected a scan (TIFF, PNG, JPEG), a sheet or a target’s layout (JSON) or reference (text)';
  if (ending === 'PDF') return `${found}; ${expected}. Scan to TIFF instead of PDF.`;
  if (ending !== undefined && /^(HEIC|HEIF|AVIF|BMP|GIF|PSD|DNG|NEF|CR2|CR3|ARW|RAW)$/.test(ending)) {
    return `${found}; ${expected}. Save the scan as TIFF, without corrections.`;
  }
  if (ending === 'ZIP') return `${found}; ${expected}. Unpack it and bring its folder.`;
  return `${found}; ${expected}. Leave it out.`;
}

/** An abbreviation as it is spelt out: an SVG file, a PDF file. A word of five letters and more is read as one. */
function spokenWithN(ending: string): boolean {
  return ending.length > 4 ? /^[AEIOU]/.test(ending) : /^[AEFHILMNORSX8]/.test(ending);
}
