/** Draws from the seeded source that studies use. */

export function between(random: () => number, low: number, high: number): number {
  return low + (high - low) * random();
}
