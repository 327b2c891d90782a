/** A box of bare paper of which a large part is darker than the rest: nobody can tell which of the two is the paper that was meant. */
import type { Signal } from '../locate/paperSurface.ts';
import { quantile } from '../quantile.ts';
import { triple } from '../triple.ts';
import { type PaperBox, paperSquares, SHADE } from './paperSquares.ts';

/**
 * Of all scatter between squares so much must lie between the two sides. Light that changes evenly across the box leaves 0.75, by any power of the
 * distance up to the sixth at most 0.80, a whole wave 0.81, a border with sharp sides nearly 1.
 */
const BETWEEN = 0.85;
/** The smaller side is at least this share of the box. */
const LEAST_SHARE = 0.1;

/** @returns linear signals of the lighter side, beside its border; null where the box is one paper in one light, or too small to tell */
export function lighterSide(signal: PaperBox, print: Uint8Array | null): Signal | null {
  const squares = paperSquares(signal, print);
  if (squares === null) return null;
  const { means } = squares;
  const parted = [0, 1, 2].map((c) => partedAt(means.map((m) => m[c])));
  const best = parted.reduce((a, b) => (b.between > a.between ? b : a));
  if (best.between < BETWEEN || best.step < SHADE) return null;
  const lighter = means.filter((m) => m[parted.indexOf(best)] > best.limit);
  // Squares on the border between the two hold some of each.
  return triple((c) =>
    quantile(
      lighter.map((m) => m[c]),
      0.75,
    ),
  );
}

interface Parted {
  /** Values above it are of the lighter side. */
  readonly limit: number;
  /** Share of all variance that lies between the two sides' means. */
  readonly between: number;
  /** From the darker side's mean to the lighter's, over that one. */
  readonly step: number;
}

/** The two sides between whose means most variance lies (Otsu 1979), the smaller not too small. */
function partedAt(values: readonly number[]): Parted {
  const sorted = values.toSorted((a, b) => a - b);
  const n = sorted.length;
  const sum = sorted.reduce((a, b) => a + b, 0);
  const variance = sorted.reduce((total, v) => total + (v - sum / n) ** 2, 0) / n;
  let best: Parted = { limit: Infinity, between: 0, step: 0 };
  let below = 0;
  for (let k = 1; k < n; k++) {
    below += sorted[k - 1];
    if (Math.min(k, n - k) < LEAST_SHARE * n) continue;
    const [dark, light] = [below / k, (sum - below) / (n - k)];
    const between = ((k / n) * (1 - k / n) * (light - dark) ** 2) / Math.max(1e-12, variance);
    if (between > best.between) best = { limit: sorted[k - 1], between, step: 1 - dark / light };
  }
  return best;
}
