/** The trade's words for how much, from limits that are settings (docs/measures.md, "Default words"). */

export const AMOUNT_WORDS = ['none', 'faint', 'clear', 'strong'] as const;
/** Limits in ΔE00 for shading, nibShading and swabVariation; common practice, no source. */
export const SHADING_LIMITS = [1, 2.5, 5] as const;
/** In mm, in %, in mm; common practice, no source. */
export const FEATHERING_LIMITS = [0.03, 0.08, 0.2] as const;
export const SPREAD_LIMITS = [10, 25, 50] as const;
export const HALO_LIMITS = [0.08] as const;
export const HALO_WORDS = ['none', 'present'] as const;

/**
 * The word for a value, or 'cannot tell' when the uncertainty is larger than the step that the word stands for needs:
 * when value − u and value + u lie more than one word apart, or u exceeds half the width of the value's own step.
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
  const high = at === limits.length ? low + (low - limits[at - 2]) : limits[at];
  if (u > (high - low) / 2 && place(value - u) !== place(value + u)) return 'cannot tell';
  return words[at];
}
