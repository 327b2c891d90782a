/**
 * A strip that lies askew or bends in its box, laid straight: followed by its own two edges, which bend with it. Where no edge is in
 * view nothing is straightened: a lane of colour wanders on straight paper too.
 */
import type { LinearRaster } from '../raster/raster.ts';
import { stripView, type StripView } from './lane.ts';

export interface Straightened {
  /** Along: the strip's middle line; across: its perpendicular. The run goes down. */
  readonly view: StripView;
  /** mm along the box → mm along the middle line, and back. */
  readonly alongStrip: (boxMm: number) => number;
  readonly alongBox: (stripMm: number) => number;
  /** Furthest that the middle line lies off a straight line along the box, mm. */
  readonly offMm: number;
}

const BLOCK_ALONG_MM = 2;
const BLOCK_ACROSS_MM = 0.3;
/** Paper is seen against the bed over so much on either side of its edge, mm. */
const REACH_MM = 0.9;
/** Least mean log10 step of an edge over its whole length, three channels summed; a step counts as no more than the second. */
const LEAST_STEP = 0.012;
const MOST_STEP = 0.05;
/** How far a strip may lean, as a slope, and bulge, mm. */
const MOST_LEAN = 0.14;
const MOST_BEND_MM = 4.5;
/** Less than this is followed without laying it straight, mm. */
const LEAST_OFF_MM = 0.8;
/** Paper kept beside the strip, mm, so that its edges are still seen. */
const MARGIN_MM = 1;
const LEAST_WIDTH_MM = 5;
/** The step at the palest tenth of an edge, against its median. */
const LOW = 0.1;
const KEPT = 0.4;
/** A bent edge must be so much plainer than the best straight one. */
const PLAINER = 1.15;

/** Null: it lies straight, or no edges tell how it lies. */
export function straighten(view: StripView, rows: readonly [from: number, to: number]): Straightened | null {
  const steps = edgeSteps(view, rows);
  if (steps.rows < 8) return null;
  const left = bestEdge(steps, 0, 0.55);
  const right = bestEdge(steps, 0.45, 1);
  const sure = [left, right].filter((edge) => edge !== null);
  if (sure.length === 0) return null;
  // One strip has one bend: with both edges in view they are sought together.
  const both = left !== null && right !== null ? pairOfEdges(steps) : null;
  const [edge] = sure.toSorted((a, b) => b.score - a.score);
  const line = both ?? { ...edge, widthCols: null };
  const straight = both ? pairScore(steps, line.at, line.at + both.widthCols, 0, 0) : bestStraight(steps, edge);
  const lengthMm = view.along * view.pxMm;
  const off = Math.max(Math.abs(line.lean) * lengthMm * 0.5, Math.abs(line.bendMm));
  if (off < LEAST_OFF_MM || line.score < PLAINER * straight) return null;
  const edges = both ? [line.at, line.at + both.widthCols] : [line.at];
  if (!edges.every((at) => keepsItsSize(steps, at, line.lean, line.bendMm))) return null;
  const colMm = steps.colMm;
  const widthMm = both ? both.widthCols * colMm : null;
  const acrossMm = view.across * view.pxMm;
  const middleMm =
    widthMm !== null ? line.at * colMm + widthMm / 2 : (line.at * colMm + (edge === left ? acrossMm : 0)) / 2;
  const halfMm = widthMm !== null ? widthMm / 2 + MARGIN_MM : acrossMm / 2;
  if (halfMm < LEAST_WIDTH_MM / 2) return null;
  return laidStraight(view, { middleMm, lean: line.lean, bendMm: line.bendMm }, halfMm, off);
}

interface Steps {
  readonly rows: number;
  readonly cols: number;
  readonly colMm: number;
  readonly rowMm: number;
  /** Length of the box along the run, mm, and the place of row 0's centre. */
  readonly lengthMm: number;
  readonly firstMm: number;
  /** −log10 step from the left to the right of a column in each row, three channels summed, clipped; none but at a crest. */
  readonly values: Float32Array;
}

function edgeSteps(view: StripView, range: readonly [number, number]): Steps {
  const perRow = Math.max(1, Math.round(BLOCK_ALONG_MM / view.pxMm));
  const perCol = Math.max(1, Math.round(BLOCK_ACROSS_MM / view.pxMm));
  const rows = Math.floor((range[1] - range[0]) / perRow);
  const cols = Math.floor(view.across / perCol);
  const sums = new Float64Array(3 * cols);
  const density = new Float64Array(cols + 1);
  const values = new Float32Array(Math.max(0, rows) * (cols + 1));
  const reach = Math.max(1, Math.round(REACH_MM / (perCol * view.pxMm)));
  const { data } = view.raster;
  for (let r = 0; r < rows; r++) {
    sums.fill(0);
    for (let a = range[0] + r * perRow; a < range[0] + (r + 1) * perRow; a++) {
      let at = view.first + a * view.stepAlong;
      for (let q = 0; q < cols * perCol; q++, at += view.stepAcross) {
        const c = 3 * Math.floor(q / perCol);
        sums[c] += data[at];
        sums[c + 1] += data[at + 1];
        sums[c + 2] += data[at + 2];
      }
    }
    // Running sum of densities, so that means are differences.
    for (let q = 0; q < cols; q++) {
      const d = [0, 1, 2].reduce((s, c) => s - Math.log10(Math.max(1e-4, sums[3 * q + c] / (perRow * perCol))), 0);
      density[q + 1] = density[q] + d;
    }
    const mean = (from: number, to: number): number => (density[to] - density[from]) / (to - from);
    const own = Float64Array.from({ length: cols + 1 }, (_, edge) =>
      edge === 0 || edge === cols
        ? 0
        : mean(edge, Math.min(cols, edge + reach)) - mean(Math.max(0, edge - reach), edge),
    );
    for (let edge = 1; edge < cols; edge++) {
      // Strong or faint, an edge counts alike, and only at its crest: beside it the step falls off.
      const crest = Math.max(...own.subarray(Math.max(1, edge - reach), edge + reach + 1).map(Math.abs));
      const sharp = crest === 0 ? 0 : (own[edge] / crest) ** 2;
      values[r * (cols + 1) + edge] = sharp * Math.max(-MOST_STEP, Math.min(MOST_STEP, own[edge]));
    }
  }
  const rowMm = perRow * view.pxMm;
  return {
    rows,
    cols,
    colMm: perCol * view.pxMm,
    rowMm,
    lengthMm: view.along * view.pxMm,
    firstMm: range[0] * view.pxMm + rowMm / 2,
    values,
  };
}

interface Edge {
  /** Column at the middle of the box. */
  readonly at: number;
  readonly lean: number;
  readonly bendMm: number;
  readonly score: number;
}

/** Off the middle of the box's length, mm: a lean and a parabola that is 0 at the middle and −bend at both ends. */
function offset(lean: number, bendMm: number, mm: number, lengthMm: number): number {
  const s = mm / lengthMm - 0.5;
  return lean * s * lengthMm - bendMm * 4 * s * s;
}

/** Mean step along a curve, by size: its sign must be one along all of it. */
function edgeScore(steps: Steps, at: number, lean: number, bendMm: number): number {
  const { rows, cols, values, colMm, rowMm, firstMm, lengthMm } = steps;
  let sum = 0;
  for (let r = 0; r < rows; r++) {
    const col = Math.round(at + offset(lean, bendMm, firstMm + r * rowMm, lengthMm) / colMm);
    if (col > 0 && col < cols) sum += values[r * (cols + 1) + col];
  }
  return Math.abs(sum) / rows;
}

/** A strip's edge is a step all along; a lane's flank comes and goes with the colour. */
function keepsItsSize(steps: Steps, at: number, lean: number, bendMm: number): boolean {
  const { rows, cols, values, colMm, rowMm, firstMm, lengthMm } = steps;
  const along = Array.from({ length: rows }, (_, r) => {
    const col = Math.round(at + offset(lean, bendMm, firstMm + r * rowMm, lengthMm) / colMm);
    const near = [col - 1, col, col + 1].filter((c) => c > 0 && c < cols).map((c) => values[r * (cols + 1) + c]);
    return near.toSorted((a, b) => Math.abs(b) - Math.abs(a))[0] ?? 0;
  });
  const sign = Math.sign(along.reduce((sum, v) => sum + v, 0));
  const sorted = along.map((v) => v * sign).toSorted((a, b) => a - b);
  return sorted[Math.floor(LOW * rows)] > KEPT * sorted[rows >> 1];
}

function pairScore(steps: Steps, left: number, right: number, lean: number, bendMm: number): number {
  return edgeScore(steps, left, lean, bendMm) + edgeScore(steps, right, lean, bendMm);
}

const LEANS = Array.from({ length: 29 }, (_, i) => ((i - 14) / 14) * MOST_LEAN);
const BENDS = Array.from({ length: 19 }, (_, i) => ((i - 9) / 9) * MOST_BEND_MM);

/** The plainest edge with its middle in a share of the box's width; null: none. */
function bestEdge(steps: Steps, from: number, to: number): Edge | null {
  let best: Edge | null = null;
  for (const lean of LEANS) {
    for (const bendMm of BENDS) {
      for (let at = Math.ceil(from * steps.cols); at <= to * steps.cols; at++) {
        const score = edgeScore(steps, at, lean, bendMm);
        if (score > (best?.score ?? LEAST_STEP)) best = { at, lean, bendMm, score };
      }
    }
  }
  return best && refined(steps, best);
}

function bestStraight(steps: Steps, near: Edge): number {
  let score = 0;
  const reach = Math.ceil(3 / steps.colMm);
  for (let at = near.at - reach; at <= near.at + reach; at++) score = Math.max(score, edgeScore(steps, at, 0, 0));
  return score;
}

/** Both edges with one lean and bend, the plainest pair at least so far apart as a strip is wide. */
function pairOfEdges(steps: Steps): (Edge & { readonly widthCols: number }) | null {
  const least = Math.ceil(LEAST_WIDTH_MM / steps.colMm);
  let best: (Edge & { widthCols: number }) | null = null;
  for (const lean of LEANS) {
    for (const bendMm of BENDS) {
      const scores = Array.from({ length: steps.cols }, (_, at) => edgeScore(steps, at, lean, bendMm));
      // The best left edge so far, walking right.
      let left = 1;
      for (let right = least + 1; right < steps.cols; right++) {
        if (scores[right - least] > scores[left]) left = right - least;
        const score = scores[left] + scores[right];
        if (Math.min(scores[left], scores[right]) > LEAST_STEP && score > (best?.score ?? 0))
          best = { at: left, lean, bendMm, score, widthCols: right - left };
      }
    }
  }
  if (best === null) return null;
  const { widthCols } = best;
  return { ...refinedBy((at, lean, bendMm) => pairScore(steps, at, at + widthCols, lean, bendMm), best), widthCols };
}

function refined(steps: Steps, edge: Edge): Edge {
  return refinedBy((at, lean, bendMm) => edgeScore(steps, at, lean, bendMm), edge);
}

/** Coordinate by coordinate in halving steps. */
function refinedBy(score: (at: number, lean: number, bendMm: number) => number, start: Edge): Edge {
  let best = start;
  for (const scale of [0.5, 0.25, 0.12]) {
    for (let round = 0; round < 3; round++) {
      for (const [at, lean, bend] of [
        [1, 0, 0],
        [0, MOST_LEAN / 14, 0],
        [0, 0, MOST_BEND_MM / 9],
      ]) {
        for (const way of [-scale, scale]) {
          const next = { at: best.at + way * at, lean: best.lean + way * lean, bendMm: best.bendMm + way * bend };
          const value = score(next.at, next.lean, next.bendMm);
          if (value > best.score) best = { ...next, score: value };
        }
      }
    }
  }
  return best;
}

interface MiddleLine {
  /** Across, at the middle of the box. */
  readonly middleMm: number;
  readonly lean: number;
  readonly bendMm: number;
}

/** The strip read along its middle line and the perpendiculars to it, with the run going down; bilinear. */
function laidStraight(view: StripView, line: MiddleLine, halfMm: number, offMm: number): Straightened {
  const { pxMm, raster } = view;
  const lengthMm = view.along * pxMm;
  const across = (mm: number): number => line.middleMm + offset(line.lean, line.bendMm, mm, lengthMm);
  const slope = (mm: number): number => line.lean - (line.bendMm * 8 * (mm / lengthMm - 0.5)) / lengthMm;
  // Arc lengths from the box's middle, at every pixel along.
  const arcs = new Float64Array(view.along + 1);
  for (let a = 0; a < view.along; a++) arcs[a + 1] = arcs[a] + pxMm * Math.hypot(1, slope((a + 0.5) * pxMm));
  const alongStrip = (boxMm: number): number => {
    const at = Math.min(view.along, Math.max(0, boxMm / pxMm));
    const i = Math.min(view.along - 1, Math.floor(at));
    return arcs[i] + (at - i) * (arcs[i + 1] - arcs[i]) + (boxMm - at * pxMm);
  };
  const total = arcs[view.along];
  const alongBox = (stripMm: number): number => {
    if (stripMm <= 0) return stripMm;
    if (stripMm >= total) return lengthMm + stripMm - total;
    let [low, high] = [0, view.along];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (arcs[middle] <= stripMm) low = middle;
      else high = middle;
    }
    return (low + (stripMm - arcs[low]) / (arcs[low + 1] - arcs[low])) * pxMm;
  };
  const heightPx = Math.max(1, Math.round(total / pxMm));
  const widthPx = Math.max(1, Math.round((2 * halfMm) / pxMm));
  const data = new Float32Array(3 * widthPx * heightPx);
  const clipped = new Uint8Array(widthPx * heightPx);
  for (let a = 0; a < heightPx; a++) {
    const mm = alongBox((a + 0.5) * pxMm);
    const tilt = slope(mm);
    const [cos, sin] = [1 / Math.hypot(1, tilt), tilt / Math.hypot(1, tilt)];
    const middle = across(mm);
    for (let q = 0; q < widthPx; q++) {
      const aside = (q + 0.5) * pxMm - halfMm;
      const x = (mm - aside * sin) / pxMm - 0.5;
      const y = (middle + aside * cos) / pxMm - 0.5;
      bilinear(view, x, y, data, 3 * (a * widthPx + q));
      clipped[a * widthPx + q] = raster.clipped[nearest(view, x, y) / 3];
    }
  }
  const straight: LinearRaster = { data, widthPx, heightPx, dpi: raster.dpi, originPx: [0, 0], clipped };
  return { view: stripView(straight, 'y', false), alongStrip, alongBox, offMm };
}

function nearest(view: StripView, x: number, y: number): number {
  const a = Math.min(view.along - 1, Math.max(0, Math.round(x)));
  const q = Math.min(view.across - 1, Math.max(0, Math.round(y)));
  return view.first + a * view.stepAlong + q * view.stepAcross;
}

/** Outside the box the nearest pixel inside stands in. */
function bilinear(view: StripView, x: number, y: number, out: Float32Array, at: number): void {
  const a = Math.min(view.along - 1.001, Math.max(0, x));
  const q = Math.min(view.across - 1.001, Math.max(0, y));
  const [a0, q0] = [Math.floor(a), Math.floor(q)];
  const [u, v] = [a - a0, q - q0];
  const { data } = view.raster;
  const i = view.first + a0 * view.stepAlong + q0 * view.stepAcross;
  for (let c = 0; c < 3; c++) {
    const here = (1 - v) * data[i + c] + v * data[i + view.stepAcross + c];
    const next = (1 - v) * data[i + view.stepAlong + c] + v * data[i + view.stepAlong + view.stepAcross + c];
    out[at + c] = (1 - u) * here + u * next;
  }
}
