/** What two hands say of one strip's bands at once: what each says, and takes back, is kept. Of words that cannot both stand the later does. */

/** One is there, none is, or it is one dye with the band at another place. */
interface Word {
  readonly rF: number;
  readonly removed?: boolean | undefined;
  readonly with?: number | undefined;
}

export interface SaidOnto<Said extends Word> {
  readonly words: Said[];
  /** Words of the other hand that gave way. */
  readonly overtaken: readonly Said[];
}

/** R_F; words on places this near mean one band. Common practice, no source. */
const ONE_BAND = 0.015;

/** @param from what both began with @param now what the other made of it @returns that with what `wanted`, the later, said besides and took back */
export function saidOnto<Said extends Word>(
  from: readonly Said[],
  wanted: readonly Said[],
  now: readonly Said[],
): SaidOnto<Said> {
  const [before, mine, theirs] = [from, wanted, now].map((words) => new Set(words.map(asText)));
  const added = wanted.filter((word) => !before.has(asText(word)) && !theirs.has(asText(word)));
  const besides = now.filter((word) => !mine.has(asText(word)) && !before.has(asText(word)));
  const overtaken = besides.filter((word) => added.some((later) => takesPlaceOf(later, word)));
  const left = now.filter((word) => mine.has(asText(word)) || (besides.includes(word) && !overtaken.includes(word)));
  return { words: [...left, ...added], overtaken };
}

/** Whether a word leaves no room for one before it. A band that is there may be one with another all the same. */
function takesPlaceOf(later: Word, earlier: Word): boolean {
  const [laters, earliers] = [placesOf(later), placesOf(earlier)];
  if (laters.length === earliers.length) return laters.every((place, i) => isOneBand(place, earliers[i]));
  if (later.with === undefined && later.removed !== true) return false;
  return laters.some((place) => earliers.some((other) => isOneBand(place, other)));
}

function placesOf({ rF, with: other }: Word): number[] {
  return other === undefined ? [rF] : [rF, other];
}

/** Of two places, R_F. */
export function isOneBand(a: number, b: number): boolean {
  return Math.abs(a - b) <= ONE_BAND;
}

function asText(word: Word): string {
  return JSON.stringify(Object.entries(word).toSorted(([a], [b]) => (a < b ? -1 : 1)));
}
