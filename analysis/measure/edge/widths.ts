/** Widths of the lines at all places that count: mean, scatter, and the doubt of both. */
import { directionOf, DIRECTIONS } from './direction.ts';
import type { FoundEdges } from './foundEdges.ts';
import type { TwoEdges } from './lineEdges.ts';
import { smoothed } from './smoothAlongLine.ts';
import { bootstrapDeviation, stretchesOf } from './stretches.ts';

export interface WidthFigures {
  readonly mean: number;
  readonly sd: number;
  /** Of the mean by the noise of the edges and by the parts of the lines that could not be counted. */
  readonly repeatMean: number;
  readonly repeatSd: number;
  /** Of the lines that count. */
  readonly lengthPx: number;
}

/** Widths scatter about their own course so far along a line, mm: what is quicker is noise and raggedness. */
const COURSE_MM = 0.4;
/** What is left out (bends, ends, crossings) is not like the rest: it weighs at least as this share of the lines (study edges). */
const LEAST_UNSEEN = 0.05;
/** Strokes that are crossed or gone over are not drawn like the others: their mean may differ by so many standard deviations of the widths (study edges). */
const UNLIKE = 0.1;
/** … and their scatter by this share of it. */
const UNLIKE_SD = 0.05;
/** A direction of which hardly anything is seen stands for no more than this many times its own length. */
const MOST_WEIGHT = 6;

/** All in px; null with too few stations. @param shiftPx Added to every edge's distance from the middle. @param edgeNoise Variance of one edge by
 * noise and grid, px², taken off the scatter. */
export function widthFigures(
  found: FoundEdges,
  edgesOf: (stroke: FoundEdges['strokes'][number]) => TwoEdges,
  shiftPx: number,
  pxPerMm: number,
  seed: number,
  edgeNoise = 0,
): WidthFigures | null {
  const { of, count } = stretchesOf(
    found.strokes.map(({ counted }) => counted.length),
    (s) => pxPerMm / found.strokes[s].stroke.line.stepPx,
  );
  const sums = new Float64Array(4 * count);
  const weights = directionWeights(found);
  let lengthPx = 0;
  found.strokes.forEach((stroke, s) => {
    const { left, right } = edgesOf(stroke);
    const { stepPx } = stroke.stroke.line;
    const widths =
      stroke.counted.length === 0 ? new Float64Array(0) : new Float64Array(stroke.counted.length).fill(NaN);
    stroke.counted.forEach((c, i) => {
      if (c === 1) widths[i] = left.away[i] + right.away[i] + 2 * shiftPx;
    });
    const course = smoothed(widths, (COURSE_MM * pxPerMm) / stepPx);
    widths.forEach((w, i) => {
      if (Number.isNaN(w)) return;
      const at = 4 * of[s][i];
      const weight = stepPx * weights[directionOf(stroke.stroke.line, i)];
      sums[at] += weight * w;
      sums[at + 1] += weight * w * w;
      sums[at + 2] += weight * (w - course[i]);
      sums[at + 3] += weight;
      lengthPx += stepPx;
    });
  });
  const once = new Float64Array(count).fill(1);
  const total = (k: number, weight: Float64Array) => {
    let sum = 0;
    for (let b = 0; b < count; b++) sum += weight[b] * sums[4 * b + k];
    return sum;
  };
  if (lengthPx === 0) return null;
  const mean = (weight: Float64Array) => total(0, weight) / total(3, weight);
  const sd = (weight: Float64Array) =>
    Math.sqrt(Math.max(0, total(1, weight) / total(3, weight) - mean(weight) ** 2 - 2 * edgeNoise));
  const noise = bootstrapDeviation(count, seed, (weight) => total(2, weight) / total(3, weight));
  const whole = bootstrapDeviation(count, seed, mean);
  // The lines as they are were measured, all but a part: only that part is a draw of what they might have been.
  const unseen = Math.max(0, 1 - lengthPx / Math.max(1, found.lengthPx));
  const drawn = Math.sqrt(Math.max(LEAST_UNSEEN, unseen));
  return {
    mean: mean(once),
    sd: sd(once),
    repeatMean: Math.hypot(noise, whole * drawn, UNLIKE * unseen * sd(once)),
    repeatSd: Math.hypot(bootstrapDeviation(count, seed, sd) * drawn, UNLIKE_SD * unseen * sd(once)),
    lengthPx,
  };
}

/** How much a counted station stands for: all of the lines over what counts of them, direction by direction, since strokes one way are crossed more than others. */
function directionWeights(found: FoundEdges): Float64Array {
  const all = new Float64Array(DIRECTIONS);
  const seen = new Float64Array(DIRECTIONS);
  for (const { stroke, counted } of found.strokes) {
    counted.forEach((c, i) => {
      const d = directionOf(stroke.line, i);
      all[d] += stroke.line.stepPx;
      seen[d] += c * stroke.line.stepPx;
    });
  }
  return all.map((a, d) => (seen[d] > 0 ? Math.min(MOST_WEIGHT, a / seen[d]) : 0));
}
