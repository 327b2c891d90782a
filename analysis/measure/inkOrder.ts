/**
 * Pale ink ordered by how much of it lies in each place. Where ink takes hardly more light away than paper and noise do, lightness orders those; its own colour
 * still tells it, since it is not theirs.
 */
import { cholesky, solveCholesky } from '../calibrate/cholesky.ts';
import type { Ink } from '../locate/inkMask.ts';
import type { LabValue } from '../quantity.ts';
import { gaussianKernel } from '../raster/gaussian.ts';
import { sortedBy } from '../raster/sortedBy.ts';
import { triple } from '../triple.ts';
import { Z90 } from '../scatter.ts';

export interface InkOrder {
  /** One a pixel, rising from much ink to little: signals over paper as logarithms, weighed. */
  readonly thinness: Float32Array;
  /** Standard deviation of what bare paper and noise alone show of it after the same smoothing. */
  readonly noise: number;
  /** What paper and noise do to the three logarithms where they make a step of 1 in it. */
  readonly paperStep: LabValue;
  /** What ink does to them there on its way from paper to this sample's mean. */
  readonly inkStep: LabValue;
}

export interface OrderedEnds {
  /** Mean signals over paper about the 10th and the 90th percentile. */
  readonly dark: LabValue;
  readonly light: LabValue;
  /** Between them, of what they are ordered by. */
  readonly step: number;
}

/** Fewer places of bare paper tell no scatter. */
const LEAST_PLACES = 200;
/** Of bare paper so many places tell it. */
const ENOUGH_PLACES = 20_000;
/** Places further out than this hold printed dots or rims of ink, in standard deviations as the middle four fifths tell them. */
const OUTLYING = 3;
/** Keeps the weights from leaning on channels that scatter alike by chance, of the mean variance; common practice, no source. */
const RIDGE = 0.05;
const DARKEST = 1e-3;

/**
 * The weights are those of the largest step for its scatter (Fisher 1936, Annals of Eugenics 7, 179): the scatter's inverse times the ink's own direction. What
 * scatter then passes for ink lies along the ink's direction, too.
 *
 * @param smoothRatio Signals over paper, three a pixel, smoothed along strokes (or over a swab). @param bare 1 on bare paper.
 * @param sigmaPx of that smoothing. @param bothWays smoothed over an area; of bare paper there is seldom room for that, so what a line leaves of the scatter a line across
 * leaves once more. @returns null where there is too little bare paper, or none that scatters, or no ink to speak of
 */
export function inkOrder(
  smoothRatio: Float32Array,
  { mask, ratio }: Pick<Ink, 'mask' | 'ratio'>,
  bare: Uint8Array,
  sigmaPx: number,
  bothWays: boolean,
): InkOrder | null {
  const paper = usual(paperPlaces(ratio, bare, mask.widthPx, mask.heightPx, sigmaPx));
  if (paper.length < 3 * LEAST_PLACES) return null;
  const away = meanLog(smoothRatio);
  const length = Math.hypot(...away);
  if (!(length > 1e-4)) return null;
  const own = triple((c) => away[c] / length);
  const covariance = covarianceOf(paper);
  const ridge = (RIDGE * (covariance[0] + covariance[4] + covariance[8])) / 3;
  if (!(ridge > 0)) return null;
  for (let c = 0; c < 3; c++) covariance[4 * c] += ridge;
  const raw = solveCholesky(cholesky(covariance, 3), 3, Float64Array.from(own));
  // So that a step of 1 in thinness is one of 1 along the ink's own direction.
  const size = raw[0] * own[0] + raw[1] * own[1] + raw[2] * own[2];
  const weights = triple((c) => raw[c] / size);
  const line = scatterOf(weighed(paper, weights));
  const fine = bothWays
    ? scatterOf(weighed(usual(paperPlaces(ratio, bare, mask.widthPx, mask.heightPx, 0)), weights))
    : line;
  if (!(line > 0)) return null;
  return {
    thinness: weighed(logarithms(smoothRatio), weights),
    noise: line * Math.min(1, line / fine),
    paperStep: regression(paper, weights),
    inkStep: own,
  };
}

/** What shading lies between, by another order than lightness. */
export function orderedEnds({ thinness }: Pick<InkOrder, 'thinness'>, smoothRatio: Float32Array): OrderedEnds {
  const order = sortedBy(thinness);
  const about = (percentile: number): { readonly mean: LabValue; readonly at: number } => {
    const from = Math.floor((percentile - 0.025) * order.length);
    const to = Math.max(from + 1, Math.ceil((percentile + 0.025) * order.length));
    const sum = new Float64Array(4);
    for (let r = from; r < to; r++) {
      const i = order[r];
      for (let c = 0; c < 3; c++) sum[c] += smoothRatio[3 * i + c];
      sum[3] += thinness[i];
    }
    return { mean: triple((c) => sum[c] / (to - from)), at: sum[3] / (to - from) };
  };
  const [dark, light] = [about(0.1), about(0.9)];
  return { dark: dark.mean, light: light.mean, step: light.at - dark.at };
}

/** Smoothed along rows, three logarithms a place; empty where there is no bare paper as long as the smoothing reaches. */
function paperPlaces(
  ratio: Float32Array,
  bare: Uint8Array,
  widthPx: number,
  heightPx: number,
  sigmaPx: number,
): Float32Array {
  const kernel = gaussianKernel(Math.max(0.5, sigmaPx));
  const rows = Math.max(2, Math.floor((widthPx * heightPx) / (3 * ENOUGH_PLACES)));
  const out = new Float32Array(3 * Math.ceil(heightPx / rows) * Math.ceil(widthPx / 3));
  let n = 0;
  for (let y = 0; y < heightPx; y += rows) n = addRow(ratio, bare, y * widthPx, widthPx, kernel, out, n);
  return out.subarray(0, 3 * n);
}

/** @returns how many places there are then */
function addRow(
  ratio: Float32Array,
  bare: Uint8Array,
  start: number,
  widthPx: number,
  kernel: Float64Array,
  out: Float32Array,
  before: number,
): number {
  const radius = kernel.length - 1;
  let n = before;
  let run = 0;
  for (let x = 0; x < widthPx; x++) {
    run = bare[start + x] ? run + 1 : 0;
    if (run < 2 * radius + 1 || x % 3 !== 0) continue;
    const centre = start + x - radius;
    for (let c = 0; c < 3; c++) {
      let v = 0;
      for (let s = -radius; s <= radius; s++) v += kernel[s < 0 ? -s : s] * ratio[3 * (centre + s) + c];
      out[3 * n + c] = Math.log(Math.max(DARKEST, v));
    }
    n++;
  }
  return n;
}

/** Those whose light does not lie far out. */
function usual(places: Float32Array): Float32Array {
  const light = weighed(places, [1, 1, 1]);
  const sorted = light.slice().sort();
  const middle = sorted[sorted.length >> 1];
  const most = OUTLYING * scatterOf(light);
  const out = new Float32Array(places.length);
  let n = 0;
  for (let k = 0; k < light.length; k++) {
    if (Math.abs(light[k] - middle) > most) continue;
    for (let c = 0; c < 3; c++) out[3 * n + c] = places[3 * k + c];
    n++;
  }
  return out.subarray(0, 3 * n);
}

function weighed(logs: Float32Array, [r, g, b]: LabValue): Float32Array {
  const out = new Float32Array(logs.length / 3);
  for (let k = 0; k < out.length; k++) out[k] = r * logs[3 * k] + g * logs[3 * k + 1] + b * logs[3 * k + 2];
  return out;
}

function logarithms(ratio: Float32Array): Float32Array {
  return ratio.map((v) => Math.log(Math.max(DARKEST, v)));
}

/** Ink takes light away: the mean of the logarithms, turned about. */
function meanLog(ratio: Float32Array): LabValue {
  const sum = new Float64Array(3);
  for (let i = 0; i < ratio.length; i++) sum[i % 3] -= Math.log(Math.max(DARKEST, ratio[i]));
  return triple((c) => (3 * sum[c]) / ratio.length);
}

/** Standard deviation from the 10th and the 90th percentile, as shading is told. */
function scatterOf(values: Float32Array): number {
  const sorted = values.slice().sort();
  const at = (share: number): number => sorted[Math.round(share * (sorted.length - 1))];
  return (at(0.9) - at(0.1)) / (2 * Z90);
}

function meanOf(places: Float32Array): LabValue {
  const sum = new Float64Array(3);
  for (let i = 0; i < places.length; i++) sum[i % 3] += places[i];
  return triple((c) => (3 * sum[c]) / places.length);
}

function covarianceOf(places: Float32Array): Float64Array {
  const mean = meanOf(places);
  const out = new Float64Array(9);
  for (let i = 0; i < places.length; i += 3) {
    for (let p = 0; p < 3; p++) {
      for (let q = 0; q < 3; q++) out[3 * p + q] += (places[i + p] - mean[p]) * (places[i + q] - mean[q]);
    }
  }
  return out.map((v) => (3 * v) / places.length);
}

/** Of each logarithm on what they are weighed to. */
function regression(places: Float32Array, weights: LabValue): LabValue {
  const covariance = covarianceOf(places);
  const along = triple((p) => triple((q) => covariance[3 * p + q] * weights[q]).reduce((a, b) => a + b, 0));
  const variance = along[0] * weights[0] + along[1] * weights[1] + along[2] * weights[2];
  return triple((c) => along[c] / variance);
}
