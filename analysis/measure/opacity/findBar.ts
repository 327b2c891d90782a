/** A printed black bar in a box: where it lies, whichever way it runs and however it is a little askew. */

/** A box seen along the bar: s counts along it, t across it, px. */
export interface AlongBar {
  readonly length: number;
  readonly across: number;
  /** Index of a pixel in the box. */
  readonly at: (s: number, t: number) => number;
}

export interface Bar {
  readonly box: AlongBar;
  /** First and last s that it covers. */
  readonly from: number;
  readonly to: number;
  /** Its two edges as t over s: t = at + slope · s, upper one first. */
  readonly edges: readonly [Edge, Edge];
}
export interface Edge {
  readonly at: number;
  readonly slope: number;
}

/** Light over paper's, in all channels: print is below one of these, the blackest that is found counts, since dense ink may look like faint print. */
const BLACK = [0.1, 0.18, 0.3] as const;
/** Paper is above this. */
const PAPER = 0.75;
/** A bar is as thick at least, and as much paper lies beside it, mm. */
const LEAST_MM = { bar: 1.5, beside: 1 } as const;
/** A row of the bar is black over this share of its length at least; an ordinary row of ink is not, or has paper beside it. */
const ROW_SHARE = 0.55;

/** A bar lies so far askew at most, as a slope. */
const MOST_SLOPE = 0.04;

/** @param darkest, lightest of the three channels' light over paper's, per pixel. Null: there is no bar with paper beside it. */
export function findBar(
  darkest: Float32Array,
  lightest: Float32Array,
  widthPx: number,
  heightPx: number,
  dpi: number,
): Bar | null {
  const boxes: AlongBar[] = [
    { length: widthPx, across: heightPx, at: (s, t) => t * widthPx + s },
    { length: heightPx, across: widthPx, at: (s, t) => s * widthPx + t },
  ];
  for (const limit of BLACK) {
    const found = boxes.flatMap((box) => barAlong(box, darkest, lightest, dpi / 25.4, limit) ?? []);
    const [best] = found.toSorted((a, b) => b.contrast - a.contrast);
    if (best) return best.bar;
  }
  return null;
}

function barAlong(
  box: AlongBar,
  darkest: Float32Array,
  lightest: Float32Array,
  pxPerMm: number,
  limit: number,
): { bar: Bar; contrast: number } | null {
  const { length, across, at } = box;
  const black = new Float64Array(across);
  const paper = new Float64Array(across);
  for (let t = 0; t < across; t++) {
    for (let s = 0; s < length; s++) {
      if (lightest[at(s, t)] < limit) black[t] += 1 / length;
      else if (darkest[at(s, t)] > PAPER) paper[t] += 1 / length;
    }
  }
  const rows = longestRun(across, (t) => black[t] >= ROW_SHARE);
  if (rows === null || rows[1] - rows[0] < LEAST_MM.bar * pxPerMm) return null;
  const beside = [...paper].filter((share, t) => (t < rows[0] || t > rows[1]) && share > 0.15).length;
  if (beside < LEAST_MM.beside * pxPerMm) return null;
  const third = Math.round((rows[1] - rows[0]) / 3);
  const middle = (of: Float32Array, s: number): number => {
    let sum = 0;
    for (let t = rows[0] + third; t <= rows[1] - third; t++) sum += of[at(s, t)];
    // Noise and a fibre do not end it.
    return sum / (rows[1] - rows[0] - 2 * third + 1);
  };
  const isBlack = (s: number): boolean => middle(lightest, s) < Math.max(...BLACK);
  // Ink that hides the print does not end it, paper does.
  const columns = withBlackEnds(
    longestRun(length, (s) => isBlack(s) || middle(darkest, s) < PAPER),
    isBlack,
  );
  if (columns === null) return null;
  const edges = [-1, 1].map((way) => edgeOf(box, lightest, darkest, columns, rows, way, pxPerMm));
  const inside = mean(black, (t) => t >= rows[0] && t <= rows[1]);
  const outside = mean(black, (t) => t < rows[0] || t > rows[1]);
  return { bar: { box, from: columns[0], to: columns[1], edges: [edges[0], edges[1]] }, contrast: inside - outside };
}

function withBlackEnds(
  run: readonly [number, number] | null,
  isBlack: (s: number) => boolean,
): readonly [number, number] | null {
  if (run === null) return null;
  let [from, to] = run;
  while (from <= to && !isBlack(from)) from++;
  while (to >= from && !isBlack(to)) to--;
  return from > to ? null : [from, to];
}

/** From the middle of the bar outwards to where it is half paper, where paper follows; a line through all such places. */
function edgeOf(
  { at, across }: AlongBar,
  lightest: Float32Array,
  darkest: Float32Array,
  [from, to]: readonly [number, number],
  rows: readonly [number, number],
  way: number,
  pxPerMm: number,
): Edge {
  const middle = Math.round((rows[0] + rows[1]) / 2);
  const far = Math.round(0.6 * pxPerMm);
  const plain = { at: way < 0 ? rows[0] : rows[1], slope: 0 };
  const slack = pxPerMm + MOST_SLOPE * (to - from);
  const points: (readonly [number, number])[] = [];
  for (let s = from; s <= to; s += Math.max(1, Math.round(0.25 * pxPerMm))) {
    let t = middle;
    while (t + way >= 0 && t + way < across && lightest[at(s, t + way)] < 0.5) t += way;
    // Through dense ink one would walk on to its end.
    if (Math.abs(t - plain.at) > slack) continue;
    const beyond = t + way * far;
    if (beyond < 0 || beyond >= across || darkest[at(s, beyond)] < PAPER) continue;
    const [inner, outer] = [lightest[at(s, t)], lightest[at(s, t + way)]];
    points.push([s, t + way * ((0.5 - inner) / Math.max(1e-3, outer - inner))]);
  }
  return points.length < 6 ? plain : lineThrough(points);
}

/** Least squares, once more without what lies off. */
function lineThrough(points: readonly (readonly [number, number])[]): Edge {
  const fit = (some: readonly (readonly [number, number])[]): Edge => {
    const n = some.length;
    const ms = some.reduce((sum, [s]) => sum + s, 0) / n;
    const mt = some.reduce((sum, [, t]) => sum + t, 0) / n;
    const ss = some.reduce((sum, [s]) => sum + (s - ms) ** 2, 0);
    const slope = ss === 0 ? 0 : some.reduce((sum, [s, t]) => sum + (s - ms) * (t - mt), 0) / ss;
    return { at: mt - slope * ms, slope };
  };
  const first = fit(points);
  const off = points.map(([s, t]) => Math.abs(t - first.at - first.slope * s));
  const limit = Math.max(1, 2.5 * off.toSorted((a, b) => a - b)[off.length >> 1]);
  return fit(points.filter((_, i) => off[i] <= limit));
}

function longestRun(count: number, holds: (i: number) => boolean): readonly [number, number] | null {
  let best: readonly [number, number] | null = null;
  let start = -1;
  for (let i = 0; i <= count; i++) {
    const inside = i < count && holds(i);
    if (inside && start < 0) start = i;
    if (inside || start < 0) continue;
    if (best === null || i - 1 - start > best[1] - best[0]) best = [start, i - 1];
    start = -1;
  }
  return best;
}

function mean(values: Float64Array, counts: (i: number) => boolean): number {
  const some = values.filter((_, i) => counts(i));
  return some.length === 0 ? 0 : some.reduce((a, b) => a + b, 0) / some.length;
}
