/** Options of a command, with messages for people. */
import { parseArgs } from 'node:util';
import { didYouMean } from '../nearestWord.ts';
import { UsageError } from './usage.ts';

/** Option name → whether it stands alone, takes a value, or takes one each time that it is given. */
export type OptionKinds = Readonly<Record<string, 'flag' | 'value' | 'list'>>;

export interface ReadOptions {
  readonly flags: ReadonlySet<string>;
  readonly values: ReadonlyMap<string, string>;
  readonly lists: ReadonlyMap<string, readonly string[]>;
  readonly positionals: readonly string[];
}

/** @throws UsageError */
export function readOptions(command: string, args: readonly string[], kinds: OptionKinds): ReadOptions {
  const { tokens } = parseArgs({
    args: [...args],
    options: Object.fromEntries(
      Object.entries(kinds).map(([name, kind]) => [name, { type: kind === 'flag' ? 'boolean' : 'string' } as const]),
    ),
    allowPositionals: true,
    strict: false,
    tokens: true,
  });
  const flags = new Set<string>();
  const values = new Map<string, string>();
  const lists = new Map<string, string[]>();
  const positionals: string[] = [];
  for (const token of tokens) {
    if (token.kind === 'positional') {
      // Mostly a variable of the shell that is not set; taken for a folder it would be the one that one stands in.
      if (token.value === '') throw new UsageError(`${command}: an empty name (""); expected a file. Leave it out.`);
      // Word processors and web pages make one of two hyphens.
      if (/^[–—−]/.test(token.value)) {
        throw new UsageError(
          `${command}: ${token.value} begins with a long dash; expected two hyphens (--) before an option. ` +
            `Type them, or put ./ before a file's name.`,
        );
      }
      positionals.push(token.value);
    }
    if (token.kind !== 'option') continue;
    const { name, rawName, value } = token;
    const kind = Object.hasOwn(kinds, name) ? kinds[name] : undefined;
    if (kind === undefined) {
      const known = Object.keys(kinds).map((k) => `--${k}`);
      throw new UsageError(
        `${command}: unknown option ${rawName}; expected ${known.join(', ')}${didYouMean(rawName, known) || '.'}`,
      );
    }
    if (kind === 'flag') {
      if (value !== undefined)
        throw new UsageError(`${command}: ${rawName} takes no value, but has "${value}". Remove it.`);
      flags.add(name);
    } else {
      if (value === undefined || value === '' || (!token.inlineValue && value.startsWith('-'))) {
        throw new UsageError(`${command}: ${rawName} has no value; expected a name after it.`);
      }
      if (kind === 'list') {
        lists.set(name, [...(lists.get(name) ?? []), value]);
        continue;
      }
      if (values.has(name)) throw new UsageError(`${command}: ${rawName} is given twice; expected it once.`);
      values.set(name, value);
    }
  }
  return { flags, values, lists, positionals };
}

/** @throws UsageError unless exactly one sheet is named */
export function oneSheet(command: string, positionals: readonly string[]): string {
  const [sheet, ...others] = positionals;
  if (sheet === undefined)
    throw new UsageError(`${command}: no sheet; expected a sheet file or a folder with a sheet.json.`);
  if (others.length > 0) {
    throw new UsageError(
      `${command}: ${positionals.length} sheets (${positionals.join(', ')}); expected one at a time.`,
    );
  }
  return sheet;
}
