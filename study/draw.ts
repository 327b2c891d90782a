/** Draws from the seeded source that studies use. */

export function between(random: () => number, low: number, high: number): number {
  return low + (high - low) * random();
}

/** Mean 0, standard deviation 1 (Box & Muller 1958). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}
