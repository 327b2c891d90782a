/** What another window calls by another name since: an edit that still has the old one is about the same thing. */
import type { DocumentDelta } from './documentDelta.ts';

/**
 * @param steps newest first, undone ones, too
 * @param isThere whether something bears a name now
 * @returns the name that the thing bears now; the same when nobody renamed it, also when it is gone
 */
export function nameNow(
  steps: readonly DocumentDelta[],
  what: 'scans' | 'regions',
  name: string,
  isThere: (name: string) => boolean,
): string {
  const seen = new Set<string>();
  for (let now: string | null = name; now !== null && !seen.has(now); now = otherName(steps, what, now)) {
    if (isThere(now)) return now;
    seen.add(now);
  }
  return name;
}

/** By the newest step that made or took the name away; null: that step added or removed the thing itself. */
function otherName(steps: readonly DocumentDelta[], what: 'scans' | 'regions', name: string): string | null {
  for (const step of steps) {
    const { before = [], after = [] } = step[what] ?? {};
    const [was, is] = [before, after].map((things) => things.findIndex(({ id }) => id === name));
    if (was >= 0 === is >= 0) continue;
    // A rename leaves all things in their places.
    if (before.length !== after.length) return null;
    return was >= 0 ? after[was].id : before[is].id;
  }
  return null;
}
