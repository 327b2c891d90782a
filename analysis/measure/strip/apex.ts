/**
 * A band's apex on the data: a cubic through the crown, as narrow as the noise allows. The fit only says how much of the colour there
 * is this band's; its own shape decides no more than the data leave open.
 */
import { Matrix, pseudoInverse } from 'ml-matrix';
import { binAt, unitColour, type Heights } from './bands.ts';
import type { FitData } from './bandFit.ts';

/** Crowns tried, narrowest first: where the band is above this share of its height. */
const CROWNS = [0.94, 0.88, 0.8, 0.7, 0.55];
const LEAST_BINS = 7;
/** A crown is narrow enough to keep, and wide enough to trust, when the apex is known to this share of the width. */
const KNOWN = 0.006;

/**
 * @param own the band's own densities, planar: its share of the data. @param fitted the band's fitted apex and heights.
 * @returns mm along the run.
 */
export function refinedApex(
  own: Float64Array,
  fitted: { apexMm: number; heights: Heights; widthMm: number },
  data: FitData,
): number {
  const { bins, firstMm, binMm } = data;
  const reading = readingOf(data, unitColour(fitted.heights), fitted.apexMm);
  const curve = Float64Array.from(
    { length: bins },
    (_, i) => reading.weights[0] * own[i] + reading.weights[1] * own[bins + i] + reading.weights[2] * own[2 * bins + i],
  );
  const top = Math.hypot(...fitted.heights);
  const atApex = binAt(data, fitted.apexMm);
  let found: { mm: number; noiseMm: number } | null = null;
  for (const crown of CROWNS) {
    const range = crownBins(curve, atApex, crown * top, LEAST_BINS);
    const tried = cubicTop(curve, range, firstMm, binMm, reading.variance);
    if (tried === null) continue;
    found = tried;
    if (tried.noiseMm < KNOWN * fitted.widthMm) break;
  }
  if (found === null) return fitted.apexMm;
  // A shift within its own noise is not believed (positive-part shrinkage).
  const shift = found.mm - fitted.apexMm;
  return fitted.apexMm + shift * Math.max(0, 1 - (found.noiseMm / Math.max(1e-9, Math.abs(shift))) ** 2);
}

interface Reading {
  /** What makes one number of three densities: 1 for the band's own unit colour, as little noise as possible. */
  readonly weights: readonly number[];
  readonly variance: number;
}

/** Generalised least squares: weights S⁻¹u / uᵀS⁻¹u. Paper's grey pattern is weighed out where the band's colour allows. */
function readingOf(data: FitData, colour: Heights, mm: number): Reading {
  const at = 9 * binAt(data, mm);
  const w = data.chance;
  const white = [0, 3, 6].map(
    (row) => w[at + row] * colour[0] + w[at + row + 1] * colour[1] + w[at + row + 2] * colour[2],
  );
  const back = [0, 1, 2].map((c) => w[at + c] * white[0] + w[at + 3 + c] * white[1] + w[at + 6 + c] * white[2]);
  const total = white[0] ** 2 + white[1] ** 2 + white[2] ** 2;
  return { weights: back.map((v) => v / total), variance: 1 / total };
}

/** Bins about the apex that lie above a level, at least so many. */
function crownBins(curve: Float64Array, apex: number, level: number, least: number): [from: number, to: number] {
  let from = apex;
  while (from > 0 && curve[from - 1] > level) from--;
  let to = apex + 1;
  while (to < curve.length && curve[to] > level) to++;
  while (to - from < least && (from > 0 || to < curve.length)) {
    if (from > 0) from--;
    if (to < curve.length) to++;
  }
  return [from, to];
}

/** Top of a cubic through bins [from, to), and what noise moves it by; null when the cubic has no top there. */
function cubicTop(
  curve: Float64Array,
  [from, to]: readonly [number, number],
  firstMm: number,
  binMm: number,
  variance: number,
): { mm: number; noiseMm: number } | null {
  const n = to - from;
  if (n < 5) return null;
  const half = (n - 1) / 2;
  const u = Array.from({ length: n }, (_, i) => (i - half) / half);
  const inverse = pseudoInverse(new Matrix(u.map((t) => [1, t, t * t, t ** 3])));
  const k = [0, 1, 2, 3].map((row) => u.reduce((sum, _, i) => sum + inverse.get(row, i) * curve[from + i], 0));
  // k1 + 2·k2·t + 3·k3·t² = 0, the root that stays finite as k3 → 0.
  const root = 4 * k[2] * k[2] - 12 * k[3] * k[1];
  if (root < 0) return null;
  const t = (-2 * k[1]) / (2 * k[2] - Math.sqrt(root));
  const bend = 2 * k[2] + 6 * k[3] * t;
  if (!(Math.abs(t) <= 1) || bend >= 0) return null;
  const slopeVariance =
    u.reduce(
      (sum, _, i) => sum + (inverse.get(1, i) + 2 * t * inverse.get(2, i) + 3 * t * t * inverse.get(3, i)) ** 2,
      0,
    ) * variance;
  return { mm: firstMm + (from + half + t * half) * binMm, noiseMm: (Math.sqrt(slopeVariance) / -bend) * half * binMm };
}
