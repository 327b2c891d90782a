/** The text format of CGATS.17 / ISO 28178: keywords, tables of fields, comments after '#'. Every refusal names its line. */

export type Refuse = (code: string, message: string) => never;

export interface CgatsRow {
  /** Counted from 1. */
  readonly line: number;
  /** One per column, quotes taken off. */
  readonly values: readonly string[];
}

export interface CgatsKeyword {
  readonly line: number;
  /** In capitals. */
  readonly keyword: string;
  readonly value: string;
}

export interface CgatsTable {
  /** Line of BEGIN_DATA_FORMAT, counted from 1. */
  readonly line: number;
  /** Field names in capitals. */
  readonly columns: readonly string[];
  readonly rows: readonly CgatsRow[];
  /** Lines since the table before, in order; some keywords come more than once. */
  readonly header: readonly CgatsKeyword[];
}

type State = 'header' | 'format' | 'data';

/** A table while it is read. */
interface Draft {
  formatLine: number | null;
  columns: { name: string; line: number }[];
  header: CgatsKeyword[];
  rows: CgatsRow[];
  dataLine: number | null;
}

const EXPECTED = 'expected CGATS.17 / ISO 28178 text. Export the reference in that format.';

/** At least one table, each with at least one row and as many values in a row as fields. */
export function readCgats(text: string, refuse: Refuse): CgatsTable[] {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
  // Asked before all else: an image or a spreadsheet should not be told off for its quotes.
  if (!/^[^\S\r\n]*BEGIN_DATA_FORMAT/im.test(text.replace(/^\uFEFF/, ''))) {
    refuse('reference-syntax', `no BEGIN_DATA_FORMAT in its ${howMany(lines)}; ${EXPECTED}`);
  }
  const tables: CgatsTable[] = [];
  let state: State = 'header';
  let draft = emptyDraft();
  for (const [i, source] of lines.entries()) {
    const line = i + 1;
    if (source.includes('\0')) {
      refuse('reference-syntax', `line ${line}: a NUL character; expected text in UTF-8 or UTF-16. Save it as UTF-8.`);
    }
    const found = words(source) ?? (state === 'header' ? source.trim().split(/\s+/) : null);
    if (found === null) {
      return refuse('reference-syntax', `line ${line}: a quote is not closed; expected "…" on one line.`);
    }
    if (found.length === 0) continue;
    const [first, ...rest] = found;
    const keyword = first.toUpperCase();
    const isMark = /^(?:BEGIN|END)_DATA(?:_FORMAT)?$/.test(keyword);
    if (state === 'header') {
      if (isMark) state = opened(keyword, rest, line, draft, refuse);
      else draft.header.push({ line, keyword, value: rest.join(' ') });
    } else if (state === 'format') {
      if (isMark && keyword !== 'END_DATA_FORMAT') refuseUnended('BEGIN_DATA_FORMAT', draft.formatLine, refuse);
      state = fields(found, line, draft);
    } else if (!isMark) {
      draft.rows.push({ line, values: found });
    } else {
      if (keyword !== 'END_DATA') refuseUnended('BEGIN_DATA', draft.dataLine, refuse);
      tables.push(finished(draft, refuse));
      draft = emptyDraft();
      state = 'header';
    }
  }
  if (state === 'format') refuseUnended('BEGIN_DATA_FORMAT', draft.formatLine, refuse);
  if (state === 'data') refuseUnended('BEGIN_DATA', draft.dataLine, refuse);
  if (draft.formatLine !== null) {
    refuse(
      'reference-syntax',
      `line ${draft.formatLine}: no BEGIN_DATA after these fields; expected it before the values. The file may be cut short.`,
    );
  }
  if (tables.length === 0) refuse('reference-syntax', `no table in its ${howMany(lines)}; ${EXPECTED}`);
  return tables;
}

function emptyDraft(): Draft {
  return { formatLine: null, columns: [], header: [], rows: [], dataLine: null };
}

/** What comes after a mark that stands where keywords do. */
function opened(mark: string, rest: readonly string[], line: number, draft: Draft, refuse: Refuse): State {
  if (mark === 'BEGIN_DATA_FORMAT') {
    if (draft.formatLine !== null) {
      refuse(
        'reference-syntax',
        `line ${line}: a second BEGIN_DATA_FORMAT before any BEGIN_DATA; the first is on line ${draft.formatLine}. Remove one.`,
      );
    }
    draft.formatLine = line;
    return fields(rest, line, draft);
  }
  if (mark === 'BEGIN_DATA') {
    if (draft.formatLine === null) {
      refuse(
        'reference-syntax',
        `line ${line}: BEGIN_DATA without BEGIN_DATA_FORMAT before it; expected the names of the fields first.`,
      );
    }
    draft.dataLine = line;
    return 'data';
  }
  return refuse(
    'reference-syntax',
    `line ${line}: ${mark} without ${mark.replace('END', 'BEGIN')} before it. Add that.`,
  );
}

/** Takes field names; they may stand on several lines, and beside the marks. */
function fields(found: readonly string[], line: number, draft: Draft): State {
  for (const word of found) {
    const name = word.toUpperCase();
    if (name === 'END_DATA_FORMAT') return 'header';
    draft.columns.push({ name, line });
  }
  return 'format';
}

function refuseUnended(mark: string, line: number | null, refuse: Refuse): never {
  return refuse(
    'reference-syntax',
    `line ${line}: ${mark} has no ${mark.replace('BEGIN', 'END')}; expected one. The file may be cut short.`,
  );
}

function finished({ formatLine, columns, header, rows, dataLine }: Draft, refuse: Refuse): CgatsTable {
  const names = new Set<string>();
  for (const { name, line } of columns) {
    if (names.has(name)) {
      refuse('reference-fields', `line ${line}: the field ${shown(name)} is named twice; expected each once.`);
    }
    names.add(name);
  }
  counted(header, 'NUMBER_OF_FIELDS', columns.length, 'fields between BEGIN_DATA_FORMAT and END_DATA_FORMAT', refuse);
  const odd = rows.find(({ values }) => values.length !== columns.length);
  if (odd) {
    refuse(
      'reference-count',
      `line ${odd.line}: ${odd.values.length} values; expected ${columns.length}, one for each field. Names with blanks need "quotes".`,
    );
  }
  counted(header, 'NUMBER_OF_SETS', rows.length, 'lines between BEGIN_DATA and END_DATA', refuse);
  if (rows.length === 0) {
    refuse(
      'reference-count',
      `line ${dataLine}: no lines between BEGIN_DATA and END_DATA; expected one for each patch.`,
    );
  }
  return { line: formatLine ?? 0, columns: columns.map(({ name }) => name), rows, header };
}

function counted(header: readonly CgatsKeyword[], keyword: string, found: number, what: string, refuse: Refuse): void {
  const wrong = header.find((h) => h.keyword === keyword && Number(h.value) !== found);
  if (wrong) {
    refuse(
      'reference-count',
      `line ${wrong.line}: ${keyword} says ${shown(wrong.value)}, but there are ${found} ${what}. ` +
        `The file may be cut short or edited: correct one.`,
    );
  }
}

/** Blank-separated words of a line; "quoted ones" may hold blanks, '#' and doubled quotes. null: a quote is not closed. */
function words(source: string): string[] | null {
  const found: string[] = [];
  const next = /\s*(?:"([^"]*(?:""[^"]*)*)"|(#.*)|([^\s"#]+)|(.))/y;
  const rest = source.trimEnd();
  while (next.lastIndex < rest.length) {
    const match = next.exec(rest);
    if (!match || match[2] !== undefined) break;
    if (match[4] !== undefined) return null;
    found.push(match[1] === undefined ? match[3] : match[1].replaceAll('""', '"'));
  }
  return found;
}

/** A text of the file as it can stand in a message: one line, no longer than is useful. */
export function shown(text: string): string {
  const line = text.replaceAll(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, '\uFFFD');
  return line.length > 60 ? `${line.slice(0, 57)}…` : line;
}

function howMany(lines: readonly string[]): string {
  return lines.length === 1 ? 'only line' : `${lines.length} lines`;
}
