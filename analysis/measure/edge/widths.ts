/** Widths of the lines at all places that count: mean, scatter, and the doubt of both. */
import { DIRECTIONS } from './direction.ts';
import type { FoundEdges } from './foundEdges.ts';
import type { TwoEdges } from './lineEdges.ts';
import { smoothed } from './smoothAlongLine.ts';
import { bootstrapDeviations, stretchesOf } from './stretches.ts';

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
/** … and the more, the less is seen: letters so dense that a tenth of them counts lie half on one another where they do, and pass for a broader stroke. */
const UNLIKE_DENSE = 5;
/** … and their scatter by this share of it, likewise. */
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
  for (const [s, stroke] of found.strokes.entries()) {
    const { left, right } = edgesOf(stroke);
    const { line, direction } = stroke.stroke;
    const widths = widthsOf(stroke.counted, left.away, right.away, shiftPx);
    const course = smoothed(widths, (COURSE_MM * pxPerMm) / line.stepPx);
    lengthPx += line.stepPx * addWidths(sums, of[s], widths, course, direction, weights, line.stepPx);
  }
  if (lengthPx === 0) return null;
  const [mean, sd] = widthStatistics(sums, new Float64Array(count).fill(1), edgeNoise, new Float64Array(3));
  const [whole, ofSd, noise] = bootstrapDeviations(
    count,
    seed,
    (weight, into) => void widthStatistics(sums, weight, edgeNoise, into),
    3,
  );
  // The lines as they are were measured, all but a part: only that part is a draw of what they might have been.
  const unseen = 1 - Math.min(1, lengthPx / Math.max(1, found.lengthPx));
  const drawn = Math.sqrt(Math.max(LEAST_UNSEEN, unseen));
  const unlike = unseen * Math.max(1, UNLIKE_DENSE * unseen * unseen) * sd;
  return {
    mean,
    sd,
    repeatMean: Math.hypot(noise, whole * drawn, UNLIKE * unlike),
    repeatSd: Math.hypot(ofSd * drawn, UNLIKE_SD * unlike),
    lengthPx,
  };
}

/** NaN where a width does not count. */
function widthsOf(counted: Uint8Array, left: Float64Array, right: Float64Array, shiftPx: number): Float64Array {
  const widths = new Float64Array(counted.length);
  for (let i = 0; i < widths.length; i++) widths[i] = counted[i] === 1 ? left[i] + right[i] + 2 * shiftPx : NaN;
  return widths;
}

/** Into the sums of each stretch: of widths, their squares, their departures from their course, their weights. @returns how many */
function addWidths(
  sums: Float64Array,
  stretch: Int32Array,
  widths: Float64Array,
  course: Float64Array,
  direction: Uint8Array,
  weights: Float64Array,
  stepPx: number,
): number {
  let n = 0;
  for (let i = 0; i < widths.length; i++) {
    const w = widths[i];
    if (Number.isNaN(w)) continue;
    const at = 4 * stretch[i];
    const weight = stepPx * weights[direction[i]];
    sums[at] += weight * w;
    sums[at + 1] += weight * w * w;
    sums[at + 2] += weight * (w - course[i]);
    sums[at + 3] += weight;
    n++;
  }
  return n;
}

/** Mean, scatter and mean departure from their own course of the widths of stretches drawn so often each. */
function widthStatistics(sums: Float64Array, drawn: Float64Array, edgeNoise: number, into: Float64Array): Float64Array {
  let [widths, squares, departures, weights] = [0, 0, 0, 0];
  for (let b = 0, at = 0; b < drawn.length; b++, at += 4) {
    const times = drawn[b];
    widths += times * sums[at];
    squares += times * sums[at + 1];
    departures += times * sums[at + 2];
    weights += times * sums[at + 3];
  }
  const mean = widths / weights;
  into[0] = mean;
  into[1] = Math.sqrt(Math.max(0, squares / weights - mean * mean - 2 * edgeNoise));
  into[2] = departures / weights;
  return into;
}

/** How much a counted station stands for: all of the lines over what counts of them, direction by direction, since strokes one way are crossed more than others. */
function directionWeights(found: FoundEdges): Float64Array {
  const all = new Float64Array(DIRECTIONS);
  const seen = new Float64Array(DIRECTIONS);
  for (const { stroke, counted } of found.strokes) {
    const { direction, line } = stroke;
    for (let i = 0; i < counted.length; i++) {
      all[direction[i]] += line.stepPx;
      seen[direction[i]] += counted[i] * line.stepPx;
    }
  }
  return all.map((a, d) => (seen[d] > 0 ? Math.min(MOST_WEIGHT, a / seen[d]) : 0));
}
