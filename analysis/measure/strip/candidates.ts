/** Where a band may be: the second derivative of the profile dips below zero on every band's crown, on shoulders too. */
import { sgg } from 'ml-savitzky-golay-generalized';
import type { FitData } from './bandFit.ts';

export interface Candidate {
  readonly placeMm: number;
  /** Width (standard deviation) that the curvature suggests. */
  readonly sdMm: number;
  /** Curvature over its own noise, three channels together. */
  readonly significance: number;
}

/** Window lengths, mm: narrow bands show in short windows, weak and broad ones only in long ones. */
const WINDOWS_MM = [2.2, 4, 7];

/**
 * Savitzky–Golay second derivative (quadratic), the three channels joined by their noise: where most of them curve downwards, a band.
 * Source: Savitzky & Golay (1964), Anal. Chem. 36, 1627–1639; Steinier, Termonia & Deltour (1972), Anal. Chem. 44, 1906–1909.
 * @param values planar densities, the data or what a fit left of them. @returns the most significant first.
 */
export function candidates(data: FitData, values: Float64Array): Candidate[] {
  const found: Candidate[] = [];
  for (const windowMm of WINDOWS_MM) {
    const windowSize = Math.max(5, 2 * Math.round(windowMm / data.binMm / 2) + 1);
    if (windowSize > data.bins) continue;
    found.push(...inWindow(data, values, windowSize));
  }
  found.sort((a, b) => b.significance - a.significance);
  const kept: Candidate[] = [];
  for (const c of found)
    if (kept.every((k) => Math.abs(k.placeMm - c.placeMm) > 0.7 * Math.max(0.6, Math.min(k.sdMm, c.sdMm))))
      kept.push(c);
  return kept;
}

function inWindow(data: FitData, values: Float64Array, windowSize: number): Candidate[] {
  const { bins, binMm, firstMm } = data;
  const gain = curvatureGain(windowSize, binMm);
  const derive = (derivative: number): Float64Array[] =>
    [0, 1, 2].map((c) =>
      sgg(values.subarray(c * bins, (c + 1) * bins), binMm, { windowSize, derivative, polynomial: 2 }),
    );
  const curvature = derive(2);
  const smooth = derive(0);
  const dips = (i: number): number[] => curvature.map((k) => Math.max(0, -k[i]));
  const strength = Float64Array.from({ length: bins }, (_, i) => {
    const dip = whitened(data, i, dips(i));
    const all = whitened(
      data,
      i,
      curvature.map((k) => -k[i]),
    );
    const size = Math.hypot(...dip);
    // The part of the whole curvature that lies along its downward channels.
    return size === 0 ? 0 : (dip[0] * all[0] + dip[1] * all[1] + dip[2] * all[2]) / size / gain;
  });
  const found: Candidate[] = [];
  for (let i = 1; i < bins - 1; i++) {
    if (strength[i] < 2 || strength[i] < strength[i - 1] || strength[i] <= strength[i + 1]) continue;
    const dip = whitened(data, i, dips(i));
    const level = whitened(
      data,
      i,
      smooth.map((v) => Math.max(0, v[i])),
    );
    const bend = dip[0] ** 2 + dip[1] ** 2 + dip[2] ** 2;
    // A Gaussian's crown bends by height/sd².
    const square = (dip[0] * level[0] + dip[1] * level[1] + dip[2] * level[2]) / bend;
    found.push({
      placeMm: firstMm + i * binMm,
      sdMm: Math.min(6, Math.max(0.5, Math.sqrt(Math.max(0, square)))),
      significance: strength[i],
    });
  }
  return found;
}

function whitened(data: FitData, i: number, v: readonly number[]): [number, number, number] {
  const w = data.whiten;
  const at = 9 * i;
  return [
    w[at] * v[0] + w[at + 1] * v[1] + w[at + 2] * v[2],
    w[at + 3] * v[0] + w[at + 4] * v[1] + w[at + 5] * v[2],
    w[at + 6] * v[0] + w[at + 7] * v[1] + w[at + 8] * v[2],
  ];
}

/** Noise of the second derivative per unit noise of a bin: the norm of its weights. */
function curvatureGain(windowSize: number, binMm: number): number {
  const pulse = new Float64Array(2 * windowSize + 1);
  pulse[windowSize] = 1;
  return Math.hypot(...sgg(pulse, binMm, { windowSize, derivative: 2, polynomial: 2 }));
}
