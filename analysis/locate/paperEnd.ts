/** Where a strip's paper ends inside its box: beyond lies the bed, the same all across. */
import { findLane, type StripView } from './lane.ts';

const BIN_MM = 0.35;
const BLOCKS = 8;
/** Beside the lane, at either edge of the strip, mm: a band's steep front is no end there. */
const EDGE_MM = 1;
/** … and so far inside of it: a strip that lies askew has its edge’s shadow there, mm. */
const INSET_MM = 0.5;
/** The strip’s edges are found on this share of the box's length, where there is paper. */
const SURELY_PAPER = 0.5;
/** Paper against bed, log10 summed over three channels. */
const LEAST_STEP = 0.03;
/** An open lid is black: below this signal only noise differs. */
const DARKEST = 0.05;
/** Paper is cut: the step lies within so much; a shadow's edge and a tideline's do not, or come back. */
const SHARP_BINS = 2;
/** Between bed and paper the lid leaves a shadow of up to so much along the paper's edge, mm; it is darker than both by so much in each channel, */
const SHADOW_MM = 1.8;
const LEAST_SHADE = 0.01;
/** … and the same grey within this share. */
const SHADE_GREY = 0.4;
/** Beyond a dark line paper must be this much from the bed: on either side of a pencil's line there is nearly the same paper. */
const LEAST_SHADED_STEP = 0.05;
/** Paper inside the shadow goes on as it begins: within this share of the step, or as paper's clouds differ. */
const GOES_ON = 0.15;
const CLOUDS = 0.015;
/** Bed must be seen for so long, mm. */
const LEAST_BED_MM = 1;
/** The end may lie askew by so much over the strip's width, mm. */
const ASKEW_MM = 2.5;

/** @param rows looked at, [from, to) px. @returns px along the run where the paper is surely still there, or null. */
export function paperEnd(view: StripView, rows: readonly [from: number, to: number]): number | null {
  const perBin = Math.max(1, Math.round(BIN_MM / view.pxMm));
  const bins = Math.floor((rows[1] - rows[0]) / perBin);
  const bed = Math.max(2, Math.round(LEAST_BED_MM / BIN_MM));
  const width = Math.floor(view.across / BLOCKS);
  if (bins < 8 * bed || width < 1) return null;
  const tail = rows[0] + (bins - bed) * perBin;
  const beds = Array.from({ length: BLOCKS }, (_, b) =>
    meanOf(blockBins(view, tail, 1, bed * perBin, b * width, width), 0, 1),
  );
  const [first] = beds;
  if (beds.some((v) => distance(v, first) > LEAST_STEP)) return null;
  const { stripPx } = findLane(view, [rows[0], Math.round(rows[0] + SURELY_PAPER * (rows[1] - rows[0]))]);
  const edge = Math.max(1, Math.round(EDGE_MM / view.pxMm));
  const inset = Math.round(INSET_MM / view.pxMm);
  const middle = (stripPx[0] + stripPx[1] - edge) / 2;
  const ends = [stripPx[0] + inset, middle, stripPx[1] - edge - inset]
    .map((from) => blockBins(view, rows[0], bins, perBin, Math.round(from), edge))
    .flatMap((values) => lastOfPaper(values, bins, bed) ?? [])
    .toSorted((a, b) => a - b);
  if (ends.length < 3 || (ends[2] - ends[0]) * BIN_MM > ASKEW_MM) return null;
  return rows[0] + ends[0] * perBin;
}

/** The same at the end where the run starts: px along the run from which on there is surely paper, or null. */
export function paperStart(view: StripView, rows: readonly [from: number, to: number]): number | null {
  const { along, first, stepAlong } = view;
  const turned = { ...view, first: first + (along - 1) * stepAlong, stepAlong: -stepAlong };
  const end = paperEnd(turned, [along - rows[1], along - rows[0]]);
  return end === null ? null : along - end;
}

/** −log10 of means, three channels a bin. */
function blockBins(
  view: StripView,
  firstRow: number,
  bins: number,
  perBin: number,
  from: number,
  width: number,
): Float64Array {
  const values = new Float64Array(3 * bins);
  const { data } = view.raster;
  for (let bin = 0; bin < bins; bin++) {
    for (let a = firstRow + bin * perBin; a < firstRow + (bin + 1) * perBin; a++) {
      let at = view.first + a * view.stepAlong + from * view.stepAcross;
      for (let q = 0; q < width; q++, at += view.stepAcross)
        for (let c = 0; c < 3; c++) values[3 * bin + c] += data[at + c];
    }
    for (let c = 0; c < 3; c++)
      values[3 * bin + c] = -Math.log10(Math.max(DARKEST, values[3 * bin + c] / (perBin * width)));
  }
  return values;
}

/** The bin before the one sharp step from paper to bed or to the shadow on it, beyond half the length; null: none, or a slow one. */
function lastOfPaper(values: Float64Array, bins: number, bed: number): number | null {
  // Its own: the bed's light changes slowly over the strip's width.
  const bedValue = meanOf(values, bins - bed, bins);
  for (let i = bins - 1; i > bins / 2; i--) {
    const here = distance(meanOf(values, i, i + 1), bedValue);
    if (here < LEAST_STEP / 2) continue;
    if (i > bins - bed) return null;
    const inside = distance(meanOf(values, i - SHARP_BINS - 1, i - SHARP_BINS + 1), bedValue);
    const further = distance(meanOf(values, i - SHARP_BINS - bed, i - SHARP_BINS), bedValue);
    // What grows on further inside is no cut; what has gone back to the bed's own level was a line.
    if (inside > LEAST_STEP && further > 0.6 * inside && inside > 0.6 * further) return i - SHARP_BINS;
    return lastBeforeShadow(values, i, bed, bedValue);
  }
  return null;
}

/** @param darkens the outermost bin that differs from the bed. @returns the last bin of plain paper; null: no shadow parts paper and bed. */
function lastBeforeShadow(
  values: Float64Array,
  darkens: number,
  bed: number,
  bedValue: readonly number[],
): number | null {
  const reach = Math.round(SHADOW_MM / BIN_MM);
  let darkest = meanOf(values, darkens, darkens + 1);
  for (let end = darkens; end > darkens - reach && end >= 2 * bed; end--) {
    const here = meanOf(values, end, end + 1);
    if (sumOf(here) > sumOf(darkest)) darkest = here;
    const paper = meanOf(values, end - bed, end);
    const step = distance(paper, bedValue);
    const goesOn = distance(paper, meanOf(values, end - 2 * bed, end - bed)) < Math.max(CLOUDS, GOES_ON * step);
    if (goesOn && step > LEAST_SHADED_STEP) return isShade(darkest, paper, bedValue) ? end - 1 : null;
  }
  return null;
}

function isShade(dark: readonly number[], paper: readonly number[], bedValue: readonly number[]): boolean {
  const over = dark.map((v, c) => v - bedValue[c]);
  const most = Math.max(...over);
  return Math.min(...over) > LEAST_SHADE && most - Math.min(...over) < SHADE_GREY * most && sumOf(dark) > sumOf(paper);
}

function sumOf([r, g, b]: readonly number[]): number {
  return r + g + b;
}

function meanOf(values: Float64Array, from: number, to: number): [number, number, number] {
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = from; i < to; i++) for (let c = 0; c < 3; c++) sum[c] += values[3 * i + c] / (to - from);
  return sum;
}

function distance(a: readonly number[], b: readonly number[]): number {
  return Math.abs(a[0] - b[0]) + Math.abs(a[1] - b[1]) + Math.abs(a[2] - b[2]);
}
