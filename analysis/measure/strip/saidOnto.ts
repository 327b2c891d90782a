/** What two hands say of one strip's bands at once: what each says, and takes back, is kept. */

/** @param from what both began with @param now what the other made of it @returns that with what `wanted` said besides and took back */
export function saidOnto<Word extends object>(
  from: readonly Word[],
  wanted: readonly Word[],
  now: readonly Word[],
): Word[] {
  const [before, mine, theirs] = [from, wanted, now].map((words) => new Set(words.map(asText)));
  const left = now.filter((word) => mine.has(asText(word)) || !before.has(asText(word)));
  const added = wanted.filter((word) => !before.has(asText(word)) && !theirs.has(asText(word)));
  return [...left, ...added];
}

function asText(word: object): string {
  return JSON.stringify(Object.entries(word).toSorted(([a], [b]) => (a < b ? -1 : 1)));
}
