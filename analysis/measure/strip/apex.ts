/**
 * A band's apex, refined on the data: what the fit left over near the crown, smoothed, is put back onto the fitted curve. So the fit's
 * own shape decides only what the data leave open.
 */
import type { FitData } from './bandFit.ts';
import { binAt, highest, projected, unitColour, type FittedBand } from './bands.ts';

/** The crown: where the band's curve is above this share of its height. */
const CROWN = 0.7;

/** @param rest planar densities: data minus the whole fit. @returns mm along the run. */
export function refinedApex(band: FittedBand, data: FitData, rest: Float64Array): number {
  const colour = unitColour(band.heights);
  const curve = (mm: number): number => projected(band.components, colour, mm);
  const top = curve(band.apexMm);
  const [from, to] = crownRange(curve, band.apexMm, top * CROWN, data);
  const half = Math.max((to - from) / 2, 1.5 * data.binMm);
  const line = smoothRest(data, rest, readingOf(data, colour, band.apexMm), (from + to) / 2, half);
  if (line === null) return band.apexMm;
  const shifted = highest(
    (mm) => curve(mm) + line.at(mm),
    Math.max(from, band.apexMm - half),
    Math.min(to, band.apexMm + half),
  );
  const shift = shifted - band.apexMm;
  // A shift within its own noise is not believed (positive-part shrinkage).
  const bend = curvature(curve, band.apexMm, half / 4);
  const noise = bend > 0 ? line.slopeNoise / bend : Math.abs(shift);
  return band.apexMm + shift * Math.max(0, 1 - (noise / Math.max(1e-9, Math.abs(shift))) ** 2);
}

interface Reading {
  /** What makes one number of three densities: 1 for the band's own unit colour, as little noise as possible. */
  readonly weights: readonly number[];
  readonly variance: number;
}

/** Generalised least squares: weights S⁻¹u / uᵀS⁻¹u. Paper's grey pattern is weighed out where the band's colour allows. */
function readingOf(data: FitData, colour: readonly number[], mm: number): Reading {
  const at = 9 * binAt(data, mm);
  const w = data.whiten;
  const white = [0, 3, 6].map(
    (row) => w[at + row] * colour[0] + w[at + row + 1] * colour[1] + w[at + row + 2] * colour[2],
  );
  const back = [0, 1, 2].map((c) => w[at + c] * white[0] + w[at + 3 + c] * white[1] + w[at + 6 + c] * white[2]);
  const total = white[0] ** 2 + white[1] ** 2 + white[2] ** 2;
  return { weights: back.map((v) => v / total), variance: 1 / total };
}

function crownRange(curve: (mm: number) => number, apexMm: number, level: number, data: FitData): [number, number] {
  const step = data.binMm / 4;
  let from = apexMm;
  while (curve(from) > level && from > data.firstMm) from -= step;
  let to = apexMm;
  while (curve(to) > level && to < data.firstMm + data.bins * data.binMm) to += step;
  return [from, to];
}

/** Weighted parabola (tricube) through the residuals, projected on the band's colour. */
function smoothRest(
  data: FitData,
  rest: Float64Array,
  reading: Reading,
  centreMm: number,
  halfMm: number,
): { at: (mm: number) => number; slopeNoise: number } | null {
  const { bins, firstMm, binMm } = data;
  const m = new Float64Array(5);
  const t = new Float64Array(3);
  let slopeVariance = 0;
  let used = 0;
  for (let i = 0; i < bins; i++) {
    const u = (firstMm + i * binMm - centreMm) / halfMm;
    if (Math.abs(u) >= 1.6) continue;
    const w = (1 - Math.abs(u / 1.6) ** 3) ** 3;
    let value = 0;
    for (let c = 0; c < 3; c++) value += reading.weights[c] * rest[c * bins + i];
    for (let k = 0; k < 5; k++) m[k] += w * u ** k;
    for (let k = 0; k < 3; k++) t[k] += w * u ** k * value;
    slopeVariance += (w * u) ** 2 * reading.variance;
    used++;
  }
  if (used < 4) return null;
  const slope = (t[1] * m[0] - t[0] * m[1]) / (m[2] * m[0] - m[1] * m[1]);
  const level = (t[0] - slope * m[1]) / m[0];
  return {
    at: (mm) => level + (slope * (mm - centreMm)) / halfMm,
    slopeNoise: Math.sqrt(slopeVariance) / m[2] / halfMm,
  };
}

function curvature(curve: (mm: number) => number, mm: number, step: number): number {
  return -(curve(mm - step) - 2 * curve(mm) + curve(mm + step)) / (step * step);
}
