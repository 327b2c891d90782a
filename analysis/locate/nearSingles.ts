/** How dense single strokes are near a pixel: a pen writes paler and darker within a letter, and what lies twice is known only against what lies once beside it. */
import type { Ink } from './inkMask.ts';

/** Side of the squares that are looked at as one, mm, and half a stroke's width, over which its dose hardly changes (study writing): the nearness' standard deviation. */
const CELL_MM = 0.25;
const NEAR_MM = 0.5;
const REACH = 2.5;
/** Fewer pixels near by tell nothing (common practice, no source). */
const LEAST = 20;

/**
 * Mean density weighted by nearness.
 * @param singles pixels that hold one layer @param far what is told where next to none is near
 */
export function nearSingles(
  { mask: { widthPx: w, heightPx: h } }: Pick<Ink, 'mask'>,
  density: Float32Array,
  singles: Int32Array,
  pxPerMm: number,
  far: (i: number) => number,
): (i: number) => number {
  const cellPx = Math.max(2, Math.round(CELL_MM * pxPerMm));
  const across = Math.ceil(w / cellPx);
  const down = Math.ceil(h / cellPx);
  const cellOf = (i: number): number => across * Math.floor(Math.floor(i / w) / cellPx) + Math.floor((i % w) / cellPx);
  const sums = new Float64Array(across * down);
  const counts = new Float64Array(across * down);
  for (const i of singles) {
    const cell = cellOf(i);
    sums[cell] += density[i];
    counts[cell]++;
  }
  const sigma = (NEAR_MM * pxPerMm) / cellPx;
  const reach = Math.ceil(REACH * sigma);
  const weights = Float64Array.from({ length: reach + 1 }, (_, d) => Math.exp(-(d * d) / (2 * sigma * sigma)));
  const known = new Float64Array(across * down).fill(NaN);
  return (i) => {
    const cell = cellOf(i);
    if (!Number.isNaN(known[cell])) return known[cell];
    const cx = cell % across;
    const cy = (cell - cx) / across;
    let [sum, weight, count] = [0, 0, 0];
    for (let y = Math.max(0, cy - reach); y <= Math.min(down - 1, cy + reach); y++) {
      for (let x = Math.max(0, cx - reach); x <= Math.min(across - 1, cx + reach); x++) {
        const near = weights[Math.abs(y - cy)] * weights[Math.abs(x - cx)];
        sum += near * sums[y * across + x];
        weight += near * counts[y * across + x];
        count += counts[y * across + x];
      }
    }
    known[cell] = count < LEAST ? far(i) : sum / weight;
    return known[cell];
  };
}
