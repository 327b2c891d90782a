/** The trade's words for how much, from limits that are settings (docs/measures.md, "Words"). */

export const AMOUNT_WORDS = ['none', 'faint', 'clear', 'strong'] as const;
/** Limits in ΔE00 for shading, nibShading and swabVariation; common practice, no source. */
export const SHADING_LIMITS = [1, 2.5, 5] as const;
/** In mm, in %, in mm; common practice, no source. */
export const FEATHERING_LIMITS = [0.03, 0.08, 0.2] as const;
export const SPREAD_LIMITS = [10, 25, 50] as const;
export const HALO_LIMITS = [0.08] as const;
export const HALO_WORDS = ['none', 'present'] as const;

/**
 * The word for a value with its standard uncertainty, both in the limits' unit; 'cannot tell' when u exceeds half the width of the word's step and
 * value − u and value + u lie under different words. The open step on top counts as wide as the one below it.
 */
export function verdict(
  value: number,
  u: number,
  limits: readonly number[],
  words: readonly string[] = AMOUNT_WORDS,
): string {
  const place = (v: number) => limits.filter((limit) => v >= limit).length;
  const at = place(value);
  const low = at === 0 ? 0 : limits[at - 1];
  const high = at === limits.length ? low + (low - (limits[at - 2] ?? 0)) : limits[at];
  if (u > (high - low) / 2 && place(value - u) !== place(value + u)) return 'cannot tell';
  return words[at];
}
