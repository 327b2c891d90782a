/** Targets' files that came through this window, the latest first: what a person has just brought is what is meant. */

let latest: readonly string[] = [];

export function noteBrought(hash: string): void {
  latest = [hash, ...latest.filter((other) => other !== hash)];
}

/** Content hashes of layouts and references. */
export function justBrought(): readonly string[] {
  return latest;
}
