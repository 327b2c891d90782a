/** The strip as two lines of signals along the run: the lane's middle and the bare paper beside it. */
import type { Lane, StripView } from '../../locate/lane.ts';

export interface StripProfile {
  readonly bins: number;
  readonly binMm: number;
  /** Place of bin 0's centre, mm from the end where the run starts; bin i lies i·binMm further. */
  readonly firstMm: number;
  /** Linear signals, planar: channel c of bin i is lane[c * bins + i]. */
  readonly lane: Float64Array;
  /** The paper beside the lane, same layout; null: none to be seen. */
  readonly side: Float64Array | null;
  /** The strip's outermost strips of paper, bare or not: a line that crosses the whole strip shows there. */
  readonly edge: Float64Array;
  /** Each of its two margins alone, where somebody may have ticked the front; same layout. */
  readonly margins: readonly [Float64Array, Float64Array];
  /** Area that a bin's mean was taken over, mm²: noise falls with its root. */
  readonly laneMm2: number;
  readonly sideMm2: number;
  /** Share of the lane's pixels at an end of the scale, per bin. */
  readonly clippedShare: Float64Array;
}

export interface ProfileOptions {
  /** Bins along the run, mm (rounded to whole pixels). @default 0.25 */
  binMm: number;
  /** Share of the lane's width that is read: its flanks are thinner. @default 0.6 */
  laneMiddle: number;
}

/** Bare paper narrower than this says nothing, mm. */
const LEAST_SIDE_MM = 0.5;
/** How much of the strip's own edges is looked at for lines that cross it, mm. */
const EDGE_MM = 1;
/** A tick is drawn in from a strip's edge, mm. */
const MARGIN_MM = 2;
/** Specks, dust and stray fibres: this share is cut off at either end before the mean is taken. */
const TRIM = 0.1;

/** @param rows rows along the run that belong to the strip, [from, to) px. */
export function readProfile(
  view: StripView,
  lane: Lane,
  rows: readonly [from: number, to: number],
  options: ProfileOptions,
): StripProfile {
  const perBin = Math.max(1, Math.round(options.binMm / view.pxMm));
  const bins = Math.max(0, Math.floor((rows[1] - rows[0]) / perBin));
  const middle = lane.halfWidthPx * (lane.fillsStrip ? 0.8 : options.laneMiddle);
  const sides = sideRanges(view, lane, rows);
  const read = new Float64Array(3 * bins);
  const side = new Float64Array(3 * bins);
  const edge = new Float64Array(3 * bins);
  const margins = [new Float64Array(3 * bins), new Float64Array(3 * bins)] as const;
  const edgePx = Math.max(1, Math.round(EDGE_MM / view.pxMm));
  const marginPx = Math.max(1, Math.round(MARGIN_MM / view.pxMm));
  const [stripFrom, stripTo] = lane.stripPx;
  const clippedShare = new Float64Array(bins);
  const pixels: number[][] = [[], [], []];
  for (let bin = 0; bin < bins; bin++) {
    const from = rows[0] + bin * perBin;
    const counts = gather(
      view,
      from,
      from + perBin,
      (a) => [lane.centrePx[a] - middle, lane.centrePx[a] + middle],
      pixels,
    );
    clippedShare[bin] = counts.total === 0 ? 0 : counts.clipped / counts.total;
    for (let c = 0; c < 3; c++) read[c * bins + bin] = trimmedMean(pixels[c]);
    for (const range of [[stripFrom, stripFrom + edgePx] as const, [stripTo - edgePx, stripTo] as const]) {
      gather(view, from, from + perBin, () => range, pixels);
      for (let c = 0; c < 3; c++) edge[c * bins + bin] += trimmedMean(pixels[c]) / 2;
    }
    [[stripFrom, stripFrom + marginPx] as const, [stripTo - marginPx, stripTo] as const].forEach((range, m) => {
      gather(view, from, from + perBin, () => range, pixels);
      for (let c = 0; c < 3; c++) margins[m][c * bins + bin] = trimmedMean(pixels[c]);
    });
    for (const range of sides) {
      gather(view, from, from + perBin, range.at, pixels);
      for (let c = 0; c < 3; c++) side[c * bins + bin] += trimmedMean(pixels[c]) / sides.length;
    }
  }
  const binMm = perBin * view.pxMm;
  return {
    bins,
    binMm,
    firstMm: rows[0] * view.pxMm + binMm / 2,
    lane: read,
    side: sides.length > 0 ? side : null,
    edge,
    margins,
    laneMm2: Math.max(1, 2 * middle) * view.pxMm * binMm,
    // The mean of two sides is as noisy as one area whose inverse is the mean of theirs, halved.
    sideMm2:
      sides.length === 0 ? 0 : (sides.length ** 2 * binMm) / sides.reduce((sum, side) => sum + 1 / side.widthMm, 0),
    clippedShare,
  };
}

type RowRange = (a: number) => readonly [from: number, to: number];

/** The columns beside the lane that are bare paper, for each row along the run; the wander is followed. */
function sideRanges(view: StripView, lane: Lane, rows: readonly [number, number]): { at: RowRange; widthMm: number }[] {
  if (lane.fillsStrip) return [];
  const left: RowRange = (a) => [lane.stripPx[0], lane.centrePx[a] - lane.clearPx];
  const right: RowRange = (a) => [lane.centrePx[a] + lane.clearPx, lane.stripPx[1]];
  return [left, right]
    .map((at) => {
      let narrowest = Number.POSITIVE_INFINITY;
      for (let a = rows[0]; a < rows[1]; a++) narrowest = Math.min(narrowest, at(a)[1] - at(a)[0]);
      return { at, widthMm: narrowest * view.pxMm };
    })
    .filter((side) => side.widthMm >= LEAST_SIDE_MM);
}

/** Fills `pixels` (one list a channel) with the signals of rows [from, to) in each row's range of columns. */
function gather(
  view: StripView,
  from: number,
  to: number,
  range: RowRange,
  pixels: number[][],
): { total: number; clipped: number } {
  const { data, clipped } = view.raster;
  for (const list of pixels) list.length = 0;
  let marked = 0;
  for (let a = from; a < to; a++) {
    const [low, high] = range(a);
    const firstCol = Math.max(0, Math.round(low));
    const lastCol = Math.min(view.across, Math.max(Math.round(high), firstCol + 1));
    for (let q = firstCol; q < lastCol; q++) {
      const at = view.first + a * view.stepAlong + q * view.stepAcross;
      pixels[0].push(data[at]);
      pixels[1].push(data[at + 1]);
      pixels[2].push(data[at + 2]);
      marked += clipped[at / 3];
    }
  }
  return { total: pixels[0].length, clipped: marked };
}

function trimmedMean(values: readonly number[]): number {
  if (values.length === 0) return 0;
  const sorted = Float64Array.from(values).sort();
  const cut = Math.floor(TRIM * sorted.length);
  let sum = 0;
  for (let i = cut; i < sorted.length - cut; i++) sum += sorted[i];
  return sum / (sorted.length - 2 * cut);
}
