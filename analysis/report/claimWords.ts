/** Words of colour in what a maker says of an ink, as hues of the ISCC–NBS system (Kelly & Judd 1976, NBS SP 440). */

/** Level 1 of the system: ten hues and the three neutrals. */
export const HUES = [
  'pink',
  'red',
  'orange',
  'brown',
  'yellow',
  'olive',
  'green',
  'blue',
  'violet',
  'purple',
  'white',
  'gray',
  'black',
] as const;
export type Hue = (typeof HUES)[number];

type Meanings = Readonly<Record<string, readonly Hue[]>>;

/** Words of colour that are no hue of the system by themselves; after common dictionaries, no other source. */
const COLOURS: Meanings = {
  grey: ['gray'],
  teal: ['green', 'blue'],
  turquoise: ['green', 'blue'],
  aqua: ['green', 'blue'],
  cyan: ['blue'],
  navy: ['blue'],
  indigo: ['blue', 'violet'],
  lilac: ['violet', 'purple'],
  lavender: ['violet', 'purple'],
  mauve: ['purple'],
  magenta: ['purple', 'red'],
  burgundy: ['red', 'purple'],
  maroon: ['red'],
  crimson: ['red'],
  scarlet: ['red'],
  rust: ['orange', 'brown'],
  sepia: ['brown'],
  umber: ['brown'],
  amber: ['orange', 'yellow'],
  vermilion: ['red', 'orange'],
  fuchsia: ['purple', 'red', 'pink'],
  bordeaux: ['red', 'purple'],
  ultramarine: ['blue', 'violet'],
  cobalt: ['blue'],
  azure: ['blue'],
  cerulean: ['blue'],
  ochre: ['yellow', 'orange', 'brown'],
};

/** Things that lend their colour to a description; in an ink's name they are as often the thing. After common dictionaries, no other source. */
const THINGS: Meanings = {
  rose: ['pink', 'red'],
  coral: ['pink', 'orange', 'red'],
  salmon: ['pink', 'orange'],
  peach: ['orange', 'pink'],
  wine: ['red', 'purple'],
  claret: ['red', 'purple'],
  ruby: ['red'],
  plum: ['purple'],
  amethyst: ['violet', 'purple'],
  sapphire: ['blue'],
  petrol: ['blue', 'green'],
  emerald: ['green'],
  jade: ['green'],
  mint: ['green'],
  pine: ['green'],
  moss: ['green', 'olive'],
  khaki: ['olive', 'yellow', 'brown'],
  mustard: ['yellow', 'olive'],
  lemon: ['yellow'],
  gold: ['yellow', 'orange'],
  copper: ['orange', 'brown'],
  bronze: ['brown', 'orange', 'olive'],
  chestnut: ['brown'],
  chocolate: ['brown'],
  charcoal: ['gray', 'black'],
  slate: ['gray', 'blue'],
  silver: ['gray'],
};

/** 'bluish', 'blackish': an adjective that a name carries beside its hue. */
export const ADJECTIVES: Readonly<Record<string, Hue>> = {
  pinkish: 'pink',
  reddish: 'red',
  brownish: 'brown',
  yellowish: 'yellow',
  greenish: 'green',
  bluish: 'blue',
  purplish: 'purple',
  grayish: 'gray',
  greyish: 'gray',
  blackish: 'black',
};

/** What common speech hardly keeps apart: the one comes near the other. */
const NEIGHBOURS: readonly (readonly [Hue, Hue])[] = [
  ['violet', 'purple'],
  ['olive', 'brown'],
  ['black', 'gray'],
  ['gray', 'white'],
];

/** What no one colour is both of. */
const OPPOSED: readonly (readonly [Hue, Hue])[] = [
  ['red', 'green'],
  ['red', 'blue'],
  ['pink', 'green'],
  ['orange', 'blue'],
  ['orange', 'green'],
  ['yellow', 'blue'],
  ['yellow', 'violet'],
  ['yellow', 'purple'],
  ['green', 'purple'],
  ['green', 'violet'],
  ['black', 'white'],
];

/** A hue after one of these is not claimed. */
const DENIALS: ReadonlySet<string> = new Set(['not', 'no', 'never', 'without', 'non']);
const DARK: ReadonlySet<string> = new Set(['dark', 'deep', 'blackish']);
const PALE: ReadonlySet<string> = new Set(['pale', 'light', 'brilliant']);

function wordsIn(text: string): readonly string[] {
  return text
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((word) => word !== '');
}

function claimedWords(text: string): readonly string[] {
  return wordsIn(text).filter((_, k, all) => !DENIALS.has(all[k - 1] ?? ''));
}

function meaning(word: string, also: Meanings): readonly Hue[] {
  const own = HUES.find((hue) => hue === word);
  return own ? [own] : (COLOURS[word] ?? also[word] ?? []);
}

/** Hues that a text names by words of colour: 'teal' names two, 'bluish green' green. */
export function huesIn(text: string): readonly Hue[] {
  return [...new Set(wordsIn(text).flatMap((word) => meaning(word, {})))];
}

/** Hues that a description claims: things that lend their colour count, denied hues do not, an adjective does where there is nothing else. */
export function claimedHues(text: string): readonly Hue[] {
  const words = claimedWords(text);
  const found = words.flatMap((word) => meaning(word, THINGS));
  const hues = found.length > 0 ? found : words.flatMap((word) => ADJECTIVES[word] ?? []);
  return [...new Set(hues)];
}

/** Whether a description's own words claim hues that no one colour is both of: 'red or green'; a word such as 'coral' by itself never does. */
export function claimsOpposed(text: string): boolean {
  const each = claimedWords(text).map((word) => meaning(word, THINGS));
  return each.some((a, i) =>
    each
      .slice(i + 1)
      .some((b) => a.length > 0 && b.length > 0 && a.every((p) => b.every((q) => isPair(OPPOSED, p, q)))),
  );
}

export function areNeighbours(a: Hue, b: Hue): boolean {
  return isPair(NEIGHBOURS, a, b);
}

function isPair(pairs: readonly (readonly [Hue, Hue])[], a: Hue, b: Hue): boolean {
  return pairs.some(([p, q]) => (p === a && q === b) || (p === b && q === a));
}

/** 'dark' against 'light' or 'pale', in either order. */
export function shadesContradict(claim: string, name: readonly string[]): boolean {
  const claimed = wordsIn(claim);
  const says = (words: readonly string[], shade: ReadonlySet<string>): boolean => words.some((word) => shade.has(word));
  return (says(claimed, DARK) && says(name, PALE)) || (says(claimed, PALE) && says(name, DARK));
}
