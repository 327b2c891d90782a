/**
 * One seed, many named streams. A draw added to one stream never moves a number of another, so a bench keeps its ink
 * when its handwriting changes. Generator: sfc32 (C. Doty-Humphrey, PractRand), seeded by a hash of seed and name.
 */
export interface Random {
  /** 0 ≤ u < 1 */
  uniform(): number;
  range(from: number, to: number): number;
  /** Mean 0, standard deviation 1. */
  normal(): number;
  logNormal(median: number, logSd: number): number;
  /** 0 … count − 1 */
  int(count: number): number;
  pick<T>(list: readonly T[]): T;
  shuffle<T>(list: readonly T[]): T[];
  uint32(): number;
}

export function stream(seed: number, name: string): Random {
  const text = `${seed}/${name}`;
  const next = sfc32([hash(text, 1), hash(text, 2), hash(text, 3), hash(text, 4)]);
  const uniform = (): number => next() / 4294967296;
  let spare: number | null = null;
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  const int = (count: number): number => Math.floor(uniform() * count);
  return {
    uniform,
    normal,
    int,
    uint32: next,
    range: (from, to) => from + (to - from) * uniform(),
    logNormal: (median, logSd) => median * Math.exp(logSd * normal()),
    pick: (list) => list[int(list.length)],
    shuffle: (list) => {
      const out = [...list];
      for (let i = out.length - 1; i > 0; i--) {
        const j = int(i + 1);
        [out[i], out[j]] = [out[j], out[i]];
      }
      return out;
    },
  };
}

/** Standard normal deviates by a table of quantiles: one 32-bit draw gives two; for the millions that pixels need. */
export function fillNormals(random: Random, out: Float32Array): void {
  for (let i = 0; i < out.length; i += 2) {
    const bits = random.uint32();
    out[i] = QUANTILES[bits & 0xffff];
    if (i + 1 < out.length) out[i + 1] = QUANTILES[bits >>> 16];
  }
}

/** Quantiles of the standard normal at the middles of 65,536 equal steps of probability. */
export const QUANTILES = Float32Array.from({ length: 65536 }, (_, i) => normalQuantile((i + 0.5) / 65536));

/** Inverse of the standard normal's distribution; P. Acklam's rational approximation, relative error below 1.2e-9 (coefficients from memory, checked by a test). */
export function normalQuantile(p: number): number {
  if (p > 0.5) return -normalQuantile(1 - p);
  if (p < 0.02425) {
    const q = Math.sqrt(-2 * Math.log(p));
    const top =
      ((((-7.784894002430293e-3 * q - 3.223964580411365e-1) * q - 2.400758277161838) * q - 2.549732539343734) * q +
        4.374664141464968) *
        q +
      2.938163982698783;
    const below =
      (((7.784695709041462e-3 * q + 3.224671290700398e-1) * q + 2.445134137142996) * q + 3.754408661907416) * q + 1;
    return top / below;
  }
  const q = p - 0.5;
  const r = q * q;
  const top =
    (((((-3.969683028665376e1 * r + 2.209460984245205e2) * r - 2.759285104469687e2) * r + 1.38357751867269e2) * r -
      3.066479806614716e1) *
      r +
      2.506628277459239) *
    q;
  const below =
    ((((-5.447609879822406e1 * r + 1.615858368580409e2) * r - 1.556989798598866e2) * r + 6.680131188771972e1) * r -
      1.328068155288572e1) *
      r +
    1;
  return top / below;
}

/** A word from a text and a start: FNV-1a with a finishing mix (murmur3's). */
function hash(text: string, start: number): number {
  let h = (0x811c9dc5 ^ Math.imul(start, 0x9e3779b1)) >>> 0;
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193) >>> 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

function sfc32(words: readonly [number, number, number, number]): () => number {
  let [a, b, c, counter] = words;
  const next = (): number => {
    const t = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + t) | 0;
    return t >>> 0;
  };
  for (let i = 0; i < 16; i++) next();
  return next;
}
