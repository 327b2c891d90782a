/** Which layouts and references a person is offered for a target, and which are proposed: pure. */
import type { DocumentTarget, KnownLayout, KnownReference, KnownTargetFiles } from '../../electron/backend/api.ts';
import type { Choice } from '../look/Select.tsx';

export interface TargetFiles {
  readonly layout: string | null;
  /** Null: none fits the layout. */
  readonly reference: string | null;
}

/** What speaks for a file besides its fitting. */
export interface ChoiceFacts {
  /** Hashes that came through this window, the latest first. */
  readonly brought: readonly string[];
  /** Targets that the ink has already. */
  readonly used: readonly Pick<DocumentTarget, 'layout' | 'reference'>[];
}

/**
 * The layout and reference that are most likely meant: what was just brought, what the ink's other targets have, what came in
 * last, and only then what is built in; the invented sample's target, which nobody has, comes last.
 */
export function proposedFiles({ layouts, references }: KnownTargetFiles, facts: ChoiceFacts): TargetFiles {
  const byRank = layouts
    .map((layout) => ({ layout, reference: proposedReference(layout, references, facts) }))
    .map((pair) => ({ ...pair, rank: pairRank(pair, facts) }))
    .toSorted((a, b) => a.rank - b.rank);
  const best = byRank.at(0);
  return { layout: best?.layout.hash ?? null, reference: best?.reference ?? null };
}

/** Null: none that fits is likely to be meant. Patches of other targets may bear the same names: the choice among them is the person's. */
export function proposedReference(
  layout: ProposedFor,
  references: readonly KnownReference[],
  facts: ChoiceFacts,
): string | null {
  const likely = (one: KnownReference): boolean =>
    facts.brought.includes(one.hash) ||
    one.from === 'brought' ||
    one.from === 'built-in' ||
    (one.from === 'taught' && isCard(layout)) ||
    (one.from === 'sample' && layout.from === 'sample');
  const fits = orderedReferences(layout, references, facts).filter((one) => misfit(one, layout.hash) === null);
  return fits.find(likely)?.hash ?? null;
}

type ProposedFor = Pick<KnownLayout, 'hash' | 'from' | 'name'>;

function isCard({ from, name }: ProposedFor): boolean {
  return from === 'built-in' && name === 'card';
}

/** Fitting ones first, as they are likely; the others last, each with why it does not fit. */
export function referenceChoices(
  layout: ProposedFor,
  references: readonly KnownReference[],
  facts: ChoiceFacts,
): Choice[] {
  const ordered = orderedReferences(layout, references, facts);
  const fits = ordered.filter((one) => misfit(one, layout.hash) === null);
  const others = ordered.filter((one) => misfit(one, layout.hash) !== null);
  return [
    ...fits.map((one) => ({ id: one.hash, name: one.title, note: `${one.patches} patches, ${FROM_WORDS[one.from]}` })),
    ...others.map((one) => ({
      id: one.hash,
      name: one.title,
      note: `does not fit: ${shortly(misfit(one, layout.hash) ?? '')}`,
    })),
  ];
}

export function layoutChoices(layouts: readonly KnownLayout[]): Choice[] {
  // The invented sample's target, which nobody has, comes last.
  const ordered = layouts.toSorted((a, b) => Number(a.from === 'sample') - Number(b.from === 'sample'));
  return ordered.map(({ hash, title, name, from, patches }) => ({
    id: hash,
    name: title,
    note: from === 'built-in' ? `${patches} patches, built in` : `${patches} patches, ${name}, ${FROM_WORDS[from]}`,
  }));
}

/** Why a reference cannot be used with a layout; null: it can. */
export function misfit(reference: KnownReference, layout: string): string | null {
  return reference.misfits[layout] ?? null;
}

/** What was found, without the file's name before it and what was expected behind: the whole line comes with the choice. */
function shortly(words: string): string {
  return words.replace(/^[^:]*: /, '').replace(/;.*$/s, '');
}

const FROM_WORDS: Readonly<Record<KnownReference['from'], string>> = {
  brought: 'brought',
  taught: 'taught by a scan',
  'built-in': 'built in',
  sample: 'of the sample ink',
};

function orderedReferences(
  layout: ProposedFor,
  references: readonly KnownReference[],
  { brought, used }: ChoiceFacts,
): readonly KnownReference[] {
  const usedWith = used.filter((target) => target.layout === layout.hash).map((target) => target.reference);
  const rank = (one: KnownReference): number => {
    // A taught reference is of the printed card, whatever other target has patches of the same names.
    if (one.from === 'taught') return isCard(layout) ? 0 : 5;
    if (brought.includes(one.hash)) return 1;
    if (usedWith.includes(one.hash)) return 2;
    if (one.from === 'brought') return 3;
    return one.from === 'built-in' ? 4 : 6;
  };
  const recent = (one: KnownReference): number => {
    const at = brought.indexOf(one.hash);
    return at < 0 ? brought.length : at;
  };
  return references.toSorted((a, b) => rank(a) - rank(b) || recent(a) - recent(b));
}

interface Pair {
  readonly layout: KnownLayout;
  readonly reference: string | null;
}

function pairRank({ layout, reference }: Pair, { brought, used }: ChoiceFacts): number {
  if (reference === null) return 9;
  if (brought.includes(layout.hash)) return brought.indexOf(layout.hash) / (brought.length + 1);
  if (brought.includes(reference)) return 1 + (layout.from === 'built-in' ? 0.5 : layout.from === 'sample' ? 0.9 : 0);
  const at = used.findIndex((target) => target.layout === layout.hash && target.reference === reference);
  if (at >= 0) return 2 + at / (used.length + 1);
  if (layout.from === 'brought') return 4;
  if (layout.from === 'built-in') return BUILT_IN_RANK[layout.name] ?? 6;
  return 7;
}

/** The card with its own taught reference was made to be used; else the small chart, which needs no file of its own. */
const BUILT_IN_RANK: Readonly<Record<string, number | undefined>> = { card: 3, 'chart-4x6': 5 };
