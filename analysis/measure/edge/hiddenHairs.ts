/**
 * How many hairs hide beside others. Two that stand nearer than the blur and their own breadths tell apart are seen as one, and a third near the second with
 * them: so a chain of hairs counts once, as pulses do in a counter whose every pulse, counted or not, begins its dead time anew (of the true rate λ it tells
 * λ·exp(−λd); Knoll, Radiation Detection and Measurement, "dead time models", from memory). How often one hair follows another is not the same as chance
 * everywhere, so it is asked of the hairs themselves: as often as the next one stands within once more the dead distance beyond it, so often one stood within it.
 */
import type { Hair } from './hairs.ts';

/** Two hairs are told apart from so far on: mm, sigmas of the edge's blur and pixels (drawn hairs 0.05 to 0.11 mm broad, 2 to 28 a cm, 300 and 600 dpi). */
const DEAD_MM = 0.04;
const DEAD_SIGMAS = 1.5;
const DEAD_PX = 1.6;
/** The nearest of those told apart are themselves told apart by chance, and the mean course that hairs stand out of rises with them: so many times as many are hidden (the same hairs). */
const TIMES = 1.3;

export interface HairyLine {
  readonly hairs: readonly Pick<Hair, 'root'>[];
  readonly stations: number;
  readonly stepPx: number;
}

export interface HiddenHairs {
  /** So many times as many stand there as were seen, 1 or more. */
  readonly times: number;
  /** Its relative standard deviation by how few neighbours it was told. */
  readonly repeat: number;
  /** Share of all edges that lies within the dead distance after a hair that was seen or set aside. */
  readonly taken: number;
}

/** @param edges All of a region's. @param aside How many more were set aside. @param edgePx Length of all edges. */
export function hiddenHairs(
  edges: readonly HairyLine[],
  aside: number,
  sigmaPx: number,
  pxPerMm: number,
  edgePx: number,
): HiddenHairs {
  const deadPx = DEAD_MM * pxPerMm + DEAD_SIGMAS * sigmaPx + DEAD_PX;
  let seen = 0;
  let near = 0;
  let alongPx = 0;
  for (const { hairs, stations, stepPx } of edges) {
    const roots = hairs.map(({ root }) => root).sort((a, b) => a - b);
    seen += roots.length;
    for (let k = 0; k < roots.length; k++) {
      const isLast = k + 1 === roots.length;
      const gapPx = ((isLast ? stations : roots[k + 1]) - roots[k]) * stepPx;
      if (gapPx <= deadPx) continue;
      alongPx += Math.min(gapPx, 2 * deadPx) - deadPx;
      if (!isLast && gapPx < 2 * deadPx) near++;
    }
  }
  const within = alongPx > 0 ? (TIMES * near * deadPx) / alongPx : 0;
  return {
    times: Math.exp(within),
    repeat: within / Math.sqrt(Math.max(1, near)),
    taken: ((seen + aside) * deadPx) / edgePx,
  };
}
