/** The colour of overlay lines: as far as may be from what lies under them. */
import { type LabTriple, shown } from './shown.ts';

/** Stronger colours than this would tint the eye's judgement of what lies beside them. */
const MOST_CHROMA = 62;

const LIGHTNESS_COUNTS = 4;

/** Made when first asked for. */
let made: readonly LabTriple[] | null = null;

const candidates = (): readonly LabTriple[] =>
  (made ??= [26, 32, 38, 44, 50, 56, 62, 68, 74, 80, 86]
    .flatMap((L) =>
      [0, 40, MOST_CHROMA].flatMap((C) =>
        Array.from({ length: C === 0 ? 1 : 24 }, (_, i): LabTriple => {
          const hue = (i * Math.PI) / 12;
          return [L, C * Math.cos(hue), C * Math.sin(hue)];
        }),
      ),
    )
    .filter((lab) => shown(lab).exact));

/** @param under colours that the lines cross: inks, papers. */
export function lineColourFar(under: readonly LabTriple[]): LabTriple {
  let best = candidates()[0];
  let farthest = -Infinity;
  for (const lab of candidates()) {
    let nearest = Infinity;
    for (const u of under) {
      nearest = Math.min(nearest, distance(lab, u));
      // Under a target lie hundreds of colours, and most candidates are near one of the first.
      if (nearest <= farthest) break;
    }
    if (nearest > farthest) [best, farthest] = [lab, nearest];
  }
  return best;
}

/**
 * Thin lines are told apart by lightness far sooner than by hue (the eye's chromatic acuity is low), so plain Lab distance with
 * L* counted more fits better than ΔE00, which was made for large patches of almost one colour. Common practice, no source.
 */
function distance(p: LabTriple, q: LabTriple): number {
  return Math.hypot(LIGHTNESS_COUNTS * (p[0] - q[0]), p[1] - q[1], p[2] - q[2]);
}
