/**
 * The word that was probably meant, or null when none is near: at most one slip of the pen (a letter wrong, missing,
 * doubled or swapped) in three letters.
 */
export function nearestWord(found: string, words: readonly string[]): string | null {
  let nearest: string | null = null;
  let least = Math.max(1, Math.floor(found.length / 3)) + 1;
  for (const word of words) {
    const slips = editDistance(found.toLowerCase(), word.toLowerCase());
    if (slips < least) {
      least = slips;
      nearest = word;
    }
  }
  return nearest;
}

/** `; did you mean "…"?` or nothing, to hang on to a message. */
export function didYouMean(found: string, words: readonly string[]): string {
  const near = nearestWord(found, words);
  return near === null ? '' : `; did you mean "${near}"?`;
}

/** Optimal string alignment: Levenshtein's distance with swaps of neighbours. */
function editDistance(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        row[j] = Math.min(row[j], beforeLast[j - 2] + 1);
      }
    }
    beforeLast = last;
    last = row;
  }
  return last[b.length];
}
