/** Notes that many figures of a table bear: said once under it, rather than in every cell. Pure. */
import type { Flag, Quantity } from '../../../analysis/quantity.ts';
import { FLAG_WORDS } from '../../../analysis/report/flagWords.ts';

export interface SharedNotes {
  /** Borne by every figure: they go without a mark. */
  readonly all: readonly Flag[];
  /** Borne by some: a letter stands at each figure, and once under the table with the words. */
  readonly some: ReadonlyMap<Flag, string>;
}

/** Said so often in a table, a note stands better under it. */
const OFTEN = 3;
const LETTERS = 'abcdefghijklmnopqrstuvwxyz';

/** @param findings of one table, or of tables that stand together */
export function sharedNotes(findings: readonly Quantity[]): SharedNotes {
  const times = new Map<Flag, number>();
  for (const { flags } of findings) for (const flag of new Set(flags)) times.set(flag, (times.get(flag) ?? 0) + 1);
  const often = [...times].filter(([, n]) => n >= OFTEN);
  const all = often.flatMap(([flag, n]) => (n === findings.length ? [flag] : []));
  const some = often.flatMap(([flag]) => (all.includes(flag) ? [] : [flag])).slice(0, LETTERS.length);
  return { all, some: new Map(some.map((flag, i) => [flag, LETTERS[i]])) };
}

/** What stands in a figure's own cell: letters of what is said below, words of what is its own. '' for nothing. */
export function ownNotes(
  flags: readonly Flag[],
  shared: SharedNotes,
): { readonly letters: string; readonly words: string } {
  const rest = flags.filter((flag) => !shared.all.includes(flag));
  return {
    letters: rest.flatMap((flag) => shared.some.get(flag) ?? []).join(' '),
    words: rest.flatMap((flag) => (shared.some.has(flag) ? [] : [FLAG_WORDS[flag]])).join('; '),
  };
}

/** The lines under a table. @param inWords whether letters stand at the figures */
export function sharedLines({ all, some }: SharedNotes, inWords: boolean): readonly string[] {
  const everywhere = all.length === 0 ? [] : [`All figures: ${all.map((flag) => FLAG_WORDS[flag]).join('; ')}`];
  return inWords ? [...everywhere, ...[...some].map(([flag, letter]) => `${letter}: ${FLAG_WORDS[flag]}`)] : everywhere;
}
