/** How dense single strokes are near a pixel: a pen writes paler and darker within a letter, and what lies twice is known only against what lies once beside it. */
import type { Ink } from '../locate/inkMask.ts';

const CELL_MM = 0.25;
/** Standard deviation of the nearness, mm: about a stroke's width. */
const NEAR_MM = 0.5;
const REACH = 2.5;
/** Fewer pixels near by tell nothing. */
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
  const cellOf = (i: number): readonly [x: number, y: number] => {
    const x = i % w;
    return [Math.floor(x / cellPx), Math.floor((i - x) / w / cellPx)];
  };
  const sums = new Float64Array(across * down);
  const counts = new Float64Array(across * down);
  for (const i of singles) {
    const [x, y] = cellOf(i);
    sums[y * across + x] += density[i];
    counts[y * across + x]++;
  }
  const sigma = (NEAR_MM * pxPerMm) / cellPx;
  const reach = Math.ceil(REACH * sigma);
  const weights = Float64Array.from({ length: reach + 1 }, (_, d) => Math.exp(-(d * d) / (2 * sigma * sigma)));
  const known = new Map<number, number>();
  return (i) => {
    const [cx, cy] = cellOf(i);
    const key = cy * across + cx;
    const before = known.get(key);
    if (before !== undefined) return before;
    let [sum, weight, count] = [0, 0, 0];
    for (let y = Math.max(0, cy - reach); y <= Math.min(down - 1, cy + reach); y++) {
      for (let x = Math.max(0, cx - reach); x <= Math.min(across - 1, cx + reach); x++) {
        const near = weights[Math.abs(y - cy)] * weights[Math.abs(x - cx)];
        sum += near * sums[y * across + x];
        weight += near * counts[y * across + x];
        count += counts[y * across + x];
      }
    }
    const mean = count < LEAST ? far(i) : sum / weight;
    known.set(key, mean);
    return mean;
  };
}
