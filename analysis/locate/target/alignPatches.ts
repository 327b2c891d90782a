/**
 * The last part of a pixel: the layout is laid over the even cells that were seen where its patches should be, middle upon
 * middle. Blur and thresholds take the same off all sides of a cell, so its middle stays; over many cells the rest averages out.
 */
import { homography, type Homography, mapPoint, type Point } from '../../raster/homography.ts';
import type { Cell } from './cells.ts';
import { affineThrough } from './lattice.ts';
import type { ExpectedPatch } from './targetLayout.ts';
import { upperMedian } from '../../quantile.ts';

/** A place that is known beforehand, such as the middle of a disc. */
export interface KnownPlace {
  readonly mm: Point;
  readonly px: Point;
}

/** A cell belongs to a patch when its middle is within this share of the patch's side, and its area within these of the patch's. */
const WITHIN_SIDE = 0.3;
const AREAS: readonly [least: number, most: number] = [0.2, 1.25];
/** Cells further off than so many median departures, and than so many px, are half covered or run into their neighbours. */
const OUTLIER = 3;
const LEAST_OUTLIER_PX = 0.3;
const FEWEST = 6;
/** Fewer pairs, or all of them in a narrow strip, fix no perspective. */
const FEWEST_FOR_PERSPECTIVE = 14;
/** A disc's middle is read on the scan itself: it counts like so many cells. */
const KNOWN_COUNTS = 10;
const ROUNDS = 4;

/**
 * @param start Layout mm → px, within a third of a patch. @param agrees Patches that look as they should, in the layout's order
 * @returns layout mm → px; null when too few cells lie under the patches
 */
export function alignPatches(
  cells: readonly Cell[],
  patches: readonly ExpectedPatch[],
  start: Homography,
  agrees: readonly boolean[],
  known: readonly KnownPlace[] = [],
): Homography | null {
  const fixed = known.flatMap(({ mm, px }) => Array.from({ length: KNOWN_COUNTS }, (): Pair => ({ mm, px })));
  let toPx = start;
  for (let round = 0; round < ROUNDS; round++) {
    const pairs = pairsOf(cells, patches, toPx, agrees);
    if (pairs.length < FEWEST) return null;
    const first = mapThrough([...pairs, ...fixed]);
    if (first === null) return null;
    const misses = pairs.map(({ mm, px }) => distance(mapPoint(first, mm), px));
    const limit = Math.max(LEAST_OUTLIER_PX, OUTLIER * upperMedian(misses));
    const kept = pairs.filter((_, k) => misses[k] <= limit);
    toPx = mapThrough([...kept, ...fixed]) ?? first;
  }
  return toPx;
}

interface Pair {
  readonly mm: Point;
  readonly px: Point;
}

function pairsOf(
  cells: readonly Cell[],
  patches: readonly ExpectedPatch[],
  toPx: Homography,
  agrees: readonly boolean[],
): Pair[] {
  const pairs: Pair[] = [];
  patches.forEach(({ boxMm: [x, y, w, h], centreMm }, k) => {
    if (!agrees[k]) return;
    const place = mapPoint(toPx, centreMm);
    const across = distance(mapPoint(toPx, [x, centreMm[1]]), mapPoint(toPx, [x + w, centreMm[1]]));
    const down = distance(mapPoint(toPx, [centreMm[0], y]), mapPoint(toPx, [centreMm[0], y + h]));
    const areaPx = across * down;
    let best: Cell | null = null;
    let least = WITHIN_SIDE * Math.min(across, down);
    for (const cell of cells) {
      const away = Math.hypot(cell.x - place[0], cell.y - place[1]);
      if (away < least && cell.areaPx > AREAS[0] * areaPx && cell.areaPx < AREAS[1] * areaPx) {
        least = away;
        best = cell;
      }
    }
    if (best !== null) pairs.push({ mm: centreMm, px: [best.x, best.y] });
  });
  return pairs;
}

function mapThrough(pairs: readonly Pair[]): Homography | null {
  const from = pairs.map(({ mm }) => mm);
  const to = pairs.map(({ px }) => px);
  try {
    return pairs.length >= FEWEST_FOR_PERSPECTIVE ? homography(from, to) : affineThrough(from, to);
  } catch (error) {
    // On one line: nothing is fixed across it.
    if (error instanceof RangeError) return null;
    throw error;
  }
}

function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}
