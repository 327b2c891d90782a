/**
 * Which of a reference's patches is which of a layout's. Reference files spell ids in many ways; each rule here is one that cannot
 * mean another patch, and docs/file-formats.md lists them. In order, the first that finds every patch of the layout serves:
 *
 * 1. The id itself.
 * 2. The same letters and number: case, blanks, `_`, `-` and zeros before a number do not count, so "a 01" is A1. Of a grey scale
 *    GS0 … GSn also "Grey 3" or "Gray_03" for GS3, "Dmin" for the first and "Dmax" for the last, and between those two plain numbers.
 * 3. Of a layout numbered 1 … n in reading order: letter and number of row and column, when all n are there; letters for rows
 *    (A1 … D6) or for columns (A1 … F4), and neither when both are there.
 * 4. The same by the file's other names for its patches (SAMPLE_NAME, SAMPLE_LOC).
 */
import type { TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { BUILT_IN_LAYOUTS } from './builtIn.ts';
import { shown } from './cgats.ts';
import { SheetError } from './sheetError.ts';

/**
 * The reference's values under the layout's own ids, further patches left out; the reference itself when its ids are the layout's.
 * @throws SheetError 'reference-lacks-patches', 'reference-ambiguous'
 */
export function matchPatches(layout: TargetLayout, reference: TargetReference, referenceName: string): TargetReference {
  const found = bestMatch(layout, reference);
  const missing = layout.patches.filter(({ id }) => !found.has(id)).map(({ id }) => id);
  if (missing.length > 0) refuseMissing(layout, reference, referenceName, missing);
  if (layout.patches.every(({ id }) => found.get(id) === id)) return reference;
  const patches = new Map(
    layout.patches.map(({ id }) => {
      const name = found.get(id)!;
      const patch = reference.patches.get(name);
      if (patch) return [id, patch] as const;
      throw new SheetError(
        'reference-ambiguous',
        `${referenceName}: ${name} could each be the patch ${shown(id)} of layout "${layout.name}"; expected one. Rename or remove the others.`,
      );
    }),
  );
  const [first] = layout.patches.filter(({ id }) => found.get(id) !== id);
  const renamed = `its patches are named by the layout's ids: "${shown(found.get(first.id)!)}" is ${shown(first.id)}`;
  return { patches, notes: [...(reference.notes ?? []), renamed] };
}

/** Layout id → the reference's id; where several could be meant, those in quotes, which is no id of the reference. */
type Match = ReadonlyMap<string, string>;

function bestMatch(layout: TargetLayout, reference: TargetReference): Match {
  const ids = new Map([...reference.patches.keys()].map((id) => [id, id]));
  const ways = [ids, ...(reference.otherNames ? [reference.otherNames] : [])].flatMap((names) => [
    matchSpelling(layout, names),
    matchGrid(layout, names),
  ]);
  const whole = ways.filter((way) => way.size === layout.patches.length);
  return whole.at(0) ?? ways.reduce((most, way) => (way.size > most.size ? way : most));
}

function matchSpelling({ patches }: TargetLayout, names: Match): Match {
  if (patches.every(({ id }) => names.has(id))) return new Map(patches.map(({ id }) => [id, names.get(id)!]));
  const greys = greyScaleOf(
    patches.map(({ id }) => id),
    [...names.keys()],
  );
  const bySpelling = grouped([...names.keys()], (name) => plain(name, greys));
  const own = grouped(
    patches.map(({ id }) => id),
    (id) => plain(id, greys),
  );
  return new Map(
    patches.flatMap(({ id }) => {
      const exact = names.get(id);
      if (exact !== undefined) return [[id, exact] as const];
      // Two of the layout's own ids that differ in spelling alone are told apart by nothing else.
      if ((own.get(plain(id, greys)) ?? []).length > 1) return [];
      const alike = bySpelling.get(plain(id, greys)) ?? [];
      if (alike.length === 0) return [];
      return [
        [id, alike.length === 1 ? names.get(alike[0])! : alike.map((a) => `"${shown(a)}"`).join(' and ')] as const,
      ];
    }),
  );
}

/** All or nothing; nothing, too, where both ways to letter the grid are there: the file then holds more than this target. */
function matchGrid(layout: TargetLayout, names: Match): Match {
  const bySpelling = grouped([...names.keys()], (name) => plain(name, null));
  const whole = gridNames(layout)
    .map((grid) => grid.map((name) => bySpelling.get(name) ?? []))
    .filter((found) => found.every((alike) => alike.length === 1));
  if (whole.length !== 1) return new Map();
  return new Map(layout.patches.map(({ id }, i) => [id, names.get(whole[0][i][0])!]));
}

/** Letters and numbers of rows and columns for a layout of patches 1 … n in reading order; none for other layouts. */
function gridNames({ patches }: TargetLayout): string[][] {
  if (patches.length < 4 || patches.some(({ id }, i) => id !== String(i + 1))) return [];
  const columns = patches.findIndex(
    ({ boxMm: [x, y] }, i) => i > 0 && y > patches[i - 1].boxMm[1] && x < patches[i - 1].boxMm[0],
  );
  if (columns < 2 || patches.length % columns !== 0) return [];
  const rows = patches.length / columns;
  if (rows === columns || Math.max(rows, columns) > 26) return [];
  const name = (letter: number, number: number) => `${String.fromCharCode(65 + letter)}${number + 1}`;
  const at = patches.map((_, i) => [Math.floor(i / columns), i % columns] as const);
  return [at.map(([row, column]) => name(row, column)), at.map(([row, column]) => name(column, row))];
}

interface GreyScale {
  /** Number of its last step. */
  readonly last: number;
  /** Its steps may be plain numbers: the reference has a Dmin and a Dmax for them to lie between, as the standard letters them. */
  readonly byNumber: boolean;
}

/** The grey scale GS0 … GSn of a layout; null: it has none. */
function greyScaleOf(ids: readonly string[], names: readonly string[]): GreyScale | null {
  const steps = ids.flatMap((id) => /^GS(\d+)$/.exec(id)?.[1] ?? []).map(Number);
  if (steps.length < 2) return null;
  const spelt = new Set(names.map((name) => plain(name, null)));
  return { last: steps.reduce((most, step) => Math.max(most, step)), byNumber: spelt.has('DMIN') && spelt.has('DMAX') };
}

/** What is left of a spelling when what does not count is taken away. */
function plain(id: string, greys: GreyScale | null): string {
  const word = plainWord(id);
  if (greys === null) return word;
  if (word === 'DMIN') return 'GS0';
  if (word === 'DMAX') return `GS${greys.last}`;
  if (greys.byNumber && /^\d+$/.test(word)) return `GS${word}`;
  return word.replace(/^GR[AE]Y(?:SCALE)?(?=\d+$)/, 'GS');
}

/** Every layout is held against every reference, whose ids are mostly the same few hundred. */
const plainWords = new Map<string, string>();
const MOST_WORDS = 20_000;

function plainWord(id: string): string {
  const before = plainWords.get(id);
  if (before !== undefined) return before;
  const word = id
    .toUpperCase()
    .replaceAll(/[\s_-]+/g, '')
    .replaceAll(/(?<![\d.,])0+(?=\d)/g, '');
  if (plainWords.size >= MOST_WORDS) plainWords.clear();
  plainWords.set(id, word);
  return word;
}

function grouped(names: readonly string[], by: (name: string) => string): Map<string, string[]> {
  const groups = new Map<string, string[]>();
  for (const name of names) {
    const key = by(name);
    const alike = groups.get(key);
    if (alike) alike.push(name);
    else groups.set(key, [name]);
  }
  return groups;
}

function refuseMissing(
  layout: TargetLayout,
  reference: TargetReference,
  referenceName: string,
  missing: readonly string[],
): never {
  const all = layout.patches.length;
  throw new SheetError(
    'reference-lacks-patches',
    `${referenceName}: lacks ${missing.length} of the ${all} patches of layout "${layout.name}" ` +
      `(${missing.slice(0, 5).join(', ')}${missing.length > 5 ? ', …' : ''}); expected values for all. ` +
      hint(layout, reference, missing.length),
  );
}

/** What else the reference may be for. */
function hint(layout: TargetLayout, reference: TargetReference, missing: number): string {
  const others = [...BUILT_IN_LAYOUTS].filter(([, other]) => other.name !== layout.name);
  const fits = others.map(([name, other]) => ({
    name,
    other,
    share: bestMatch(other, reference).size / other.patches.length,
  }));
  const [best] = fits.toSorted((a, b) => b.share - a.share);
  if (best.share >= 0.9 && best.share > 1 - missing / layout.patches.length) {
    return `Its ids are those of layout "${best.name}" (${best.other.name}): choose that layout, or this target's own reference.`;
  }
  const names = [...reference.patches.keys()].slice(0, 3).map(shown).join(', ');
  return `It names ${names}, …: is it this target's reference?`;
}
