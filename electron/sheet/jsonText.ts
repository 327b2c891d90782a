/**
 * JSON with messages a person can act on: line and column of the first fault, and no key twice (JSON.parse keeps the
 * last one silently, so that one of two boxes would be measured and nobody told).
 */
import { SheetError } from './sheetError.ts';

class Fault extends Error {
  readonly at: number;

  constructor(at: number, message: string) {
    super(message);
    this.at = at;
  }
}

/** @throws SheetError 'json-syntax' */
export function parseJson(source: string, fileName: string): unknown {
  const text = source.startsWith('\uFEFF') ? source.slice(1) : source;
  try {
    new Scanner(text).document();
  } catch (fault) {
    if (!(fault instanceof Fault)) throw fault;
    const before = text.slice(0, fault.at).split(/\r\n|\r|\n/);
    const column = before[before.length - 1].length + 1;
    throw new SheetError('json-syntax', `${fileName}: line ${before.length}, column ${column}: ${fault.message}`);
  }
  return JSON.parse(text);
}

/** No file of ours nests more than ten deep. */
const DEEPEST = 100;

/** Walks the grammar of RFC 8259 and stops at the first fault; JSON.parse makes the values. */
class Scanner {
  private at = 0;
  private depth = 0;
  private readonly text: string;

  constructor(text: string) {
    this.text = text;
  }

  document(): void {
    this.blanks();
    this.refuseOtherFiles();
    this.value();
    this.blanks();
    if (this.at < this.text.length) this.stop('the end of the file');
    this.refuseLostLetters();
  }

  /** Another file given by mistake (a scan for its sheet, a reference for its layout) is named as such, not by its first odd sign. */
  private refuseOtherFiles(): void {
    const start = this.text.slice(this.at, this.at + 64);
    if (start === '')
      throw new Fault(this.at, 'the file is empty; expected JSON, which begins with "{". Is this the right file?');
    if (/^(["{[/-]|\d|true|false|null)/.test(start)) return;
    // What UTF-8 cannot hold, or a control character that no text has.
    // oxlint-disable-next-line no-control-regex -- just these are looked for
    const isBinary = /\uFFFD|[\u0000-\u0008\u000E-\u001F]/.test(start);
    const found = isBinary ? 'no text, but an image or another binary file' : `no JSON, but "${wordOf(start)}"`;
    throw new Fault(this.at, `${found}; expected JSON, which begins with "{". Is this the right file?`);
  }

  /** A name with an umlaut in another encoding would come in, and go out again, without it. */
  private refuseLostLetters(): void {
    const lost = this.text.indexOf('\uFFFD');
    if (lost >= 0)
      throw new Fault(lost, 'a letter that is no UTF-8; expected a file in UTF-8. Save it anew in that encoding.');
  }

  private value(): void {
    this.blanks();
    const next = this.text[this.at];
    if (this.depth === DEEPEST && (next === '{' || next === '[')) {
      throw new Fault(this.at, `more than ${DEEPEST} brackets within one another; expected a few. Is this the file?`);
    }
    this.depth++;
    if (next === '{') this.object();
    else if (next === '[') this.array();
    else if (next === '"') this.string();
    else if (!this.skip(/-?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?/y) && !this.skip(/true|false|null/y))
      this.stop('a value');
    this.depth--;
  }

  private object(): void {
    const keys = new Set<string>();
    this.list('}', 'a key in double quotes', () => {
      const start = this.at;
      if (this.text[start] !== '"') this.stop('a key in double quotes');
      const key = this.string();
      if (keys.has(key))
        throw new Fault(start, `the key "${key}" stands here a second time; expected it once. Remove one.`);
      keys.add(key);
      this.blanks();
      if (this.text[this.at] !== ':') this.stop('":" after the key');
      this.at++;
      this.value();
    });
  }

  private array(): void {
    this.list(']', 'a value', () => this.value());
  }

  private list(end: string, what: string, member: () => void): void {
    this.at++;
    this.blanks();
    if (this.text[this.at] === end) {
      this.at++;
      return;
    }
    for (;;) {
      this.blanks();
      if (this.text[this.at] === end) this.stop(`${what} after the comma`);
      member();
      this.blanks();
      const next = this.text[this.at];
      if (next !== ',' && next !== end) this.stop(`"," or "${end}"`);
      this.at++;
      if (next === end) return;
    }
  }

  private string(): string {
    const start = this.at;
    this.at++;
    // One stretch at a time: repeated within one pattern, they would use up the stack in a text of some megabytes.
    // oxlint-disable-next-line no-control-regex -- JSON forbids raw control characters, so the grammar names them
    do this.skip(/[^"\\\u0000-\u001f]*/y);
    while (this.skip(/\\(["\\/bfnrt]|u[0-9a-fA-F]{4})/y));
    if (this.text[this.at] !== '"') {
      throw new Fault(
        start,
        'a text is not closed on its line or holds a wrong "\\"; expected "…" with \\\\ for a backslash.',
      );
    }
    this.at++;
    return String(JSON.parse(this.text.slice(start, this.at)));
  }

  private blanks(): void {
    this.skip(/[ \t\r\n]*/y);
  }

  private skip(pattern: RegExp): boolean {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text);
    if (found) this.at += found[0].length;
    return found !== null;
  }

  private stop(expected: string): never {
    const next = this.text.slice(this.at, this.at + 2);
    if (next === '//' || next === '/*')
      throw new Fault(this.at, 'a comment; expected plain JSON, which has none. Remove it.');
    const found = next === '' ? 'the file ends' : `found ${JSON.stringify(next[0])}`;
    throw new Fault(this.at, `${found}; expected ${expected}. Correct it there or just before.`);
  }
}

/** The first word, cut where it is long. */
function wordOf(text: string): string {
  return (/^\S{1,20}/.exec(text) ?? [''])[0];
}
