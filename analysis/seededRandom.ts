/** Uniform numbers in [0, 1) from a seed (mulberry32), so that every bootstrap can be run again to the same figures. */
export function seededRandom(seed: number): () => number {
  const state = randomState(seed);
  return () => nextRandom(state);
}

/** Where such a row of numbers stands, for loops that draw many: a function that is made anew each time would have those compiled anew with it. */
export function randomState(seed: number): Int32Array {
  return Int32Array.of(seed | 0);
}

/** Uniform in [0, 1); `state` moves on by one. */
export function nextRandom(state: Int32Array): number {
  const step = (state[0] + 0x6d2b79f5) | 0;
  state[0] = step;
  let t = step;
  t = Math.imul(t ^ (t >>> 15), t | 1);
  t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
}

/** Mean 0, standard deviation 1. Source: Box & Muller (1958), Ann. Math. Stat. 29, 610–611. */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** A seed from a region's id, so that the same sheet always gives the same numbers. */
export function seedFromText(text: string): number {
  let hash = 2166136261;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 16777619);
  return hash >>> 0;
}
