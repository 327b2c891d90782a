/** The text format of CGATS.17 / ISO 28178: keywords, one table of fields, comments after '#'. */

type Refuse = (code: string, message: string) => never;

export interface CgatsRow {
  /** Counted from 1. */
  readonly line: number;
  /** One per column, quotes taken off. */
  readonly values: readonly string[];
}

export interface CgatsTable {
  /** Field names in capitals. */
  readonly columns: readonly string[];
  readonly rows: readonly CgatsRow[];
  /** Lines before the data, in order; keywords in capitals, and some come more than once. */
  readonly header: readonly { readonly keyword: string; readonly value: string }[];
  /** A number as this file writes them (point or comma); NaN when it is none. */
  toNumber(text: string): number;
}

interface Line {
  readonly line: number;
  readonly words: readonly string[];
}

export function readCgats(text: string, refuse: Refuse): CgatsTable {
  // Asked before all else: an image or a spreadsheet should not be told off for its quotes.
  if (!/BEGIN_DATA_FORMAT/i.test(text)) {
    refuse(
      'reference-syntax',
      'no BEGIN_DATA_FORMAT; expected CGATS.17 / ISO 28178 text. Export the reference in that format.',
    );
  }
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\r|\n/)
    .map((source, i): Line => ({ line: i + 1, words: words(source, i + 1, refuse) }))
    .filter(({ words }) => words.length > 0);
  const format = between(lines, 'BEGIN_DATA_FORMAT', 'END_DATA_FORMAT', refuse);
  const data = between(lines, 'BEGIN_DATA', 'END_DATA', refuse);
  const columns = format.flatMap(({ words }) => words).map((word) => word.toUpperCase());
  const header = lines
    .filter((l) => l.line < data.start)
    .map(({ words: [keyword, ...rest] }) => ({ keyword: keyword.toUpperCase(), value: rest.join(' ') }));

  const twice = columns.find((c, i) => columns.indexOf(c) < i);
  if (twice !== undefined) refuse('reference-fields', `the field ${twice} is named twice; expected each once.`);
  counted(header, 'NUMBER_OF_FIELDS', columns.length, 'fields between BEGIN_DATA_FORMAT and END_DATA_FORMAT', refuse);
  for (const { line, words } of data) {
    if (words.length !== columns.length) {
      refuse(
        'reference-count',
        `line ${line}: ${words.length} values; expected ${columns.length}, one for each field. Names with blanks need "quotes".`,
      );
    }
  }
  counted(header, 'NUMBER_OF_SETS', data.length, 'lines between BEGIN_DATA and END_DATA', refuse);
  if (data.length === 0)
    refuse('reference-count', `no lines between BEGIN_DATA and END_DATA; expected one for each patch.`);
  return {
    columns,
    rows: data.map(({ line, words }) => ({ line, values: words })),
    header,
    toNumber: numbersOf(data, refuse),
  };
}

/** Blank-separated words of a line; "quoted ones" may hold blanks, '#' and doubled quotes. */
function words(source: string, line: number, refuse: Refuse): string[] {
  const found: string[] = [];
  const next = /\s*(?:"((?:[^"]|"")*)"|(#.*)|([^\s"#]+)|(.))/y;
  const rest = source.trimEnd();
  while (next.lastIndex < rest.length) {
    const match = next.exec(rest);
    if (!match || match[2] !== undefined) break;
    if (match[4] !== undefined)
      refuse('reference-syntax', `line ${line}: a quote is not closed; expected "…" on one line.`);
    found.push(match[1] === undefined ? match[3] : match[1].replaceAll('""', '"'));
  }
  return found;
}

type Section = Line[] & { start: number };

function between(lines: readonly Line[], begin: string, end: string, refuse: Refuse): Section {
  const marks = (name: string) => lines.flatMap(({ words }, i) => (words[0].toUpperCase() === name ? [i] : []));
  const [from, ...furtherFrom] = marks(begin);
  const [to] = marks(end);
  if (from === undefined) refuse('reference-syntax', `no ${begin}; expected it before the values.`);
  if (to === undefined || to < from)
    refuse(
      'reference-syntax',
      `line ${lines[from].line}: ${begin} has no ${end}; expected one. The file may be cut short.`,
    );
  if (furtherFrom.length > 0) {
    refuse(
      'reference-syntax',
      `line ${lines[furtherFrom[0]].line}: a second ${begin}; expected one table. Keep the one with this target's values.`,
    );
  }
  return Object.assign(lines.slice(from + 1, to), { start: lines[from].line });
}

function counted(header: CgatsTable['header'], keyword: string, found: number, what: string, refuse: Refuse): void {
  const stated = header.find((h) => h.keyword === keyword)?.value;
  if (stated !== undefined && Number(stated) !== found) {
    refuse(
      'reference-count',
      `${keyword} says ${stated}, but there are ${found} ${what}. The file may be cut short or edited: correct one.`,
    );
  }
}

/**
 * Decimal commas are understood when the file uses nothing else: with points beside them, 1,234 could be either.
 */
function numbersOf(data: readonly Line[], refuse: Refuse): (text: string) => number {
  const written = (pattern: RegExp) => data.find(({ words }) => words.some((w) => pattern.test(w)));
  const comma = written(/^[+-]?\d*,\d+(?:[eE][+-]?\d+)?$/);
  const point = written(/^[+-]?\d*\.\d+(?:[eE][+-]?\d+)?$/);
  if (comma && point) {
    refuse(
      'reference-number',
      `line ${comma.line} writes decimal commas, line ${point.line} decimal points; expected points throughout. Replace the commas.`,
    );
  }
  return (text) => {
    const plain = comma ? text.replace(',', '.') : text;
    return /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(plain) ? Number(plain) : Number.NaN;
  };
}
