/** From a fit to numbers: place, shape, colour and amount of every band, and what stayed at the origin. */
import type { CompiledCalibration } from '../../calibrate/apply.ts';
import { densitiesOf, type Addition } from './addition.ts';
import { refinedApex } from './apex.ts';
import type { BandFit, Component, FitData } from './bandFit.ts';
import { asBand, heightsAt, unitShape, type FittedBand, type Heights } from './bands.ts';
import { curveShape, type CurveShape } from './bandShape.ts';
import { visualDensity, type Triple } from './visualDensity.ts';

/** Which components of a fit make which band: indices, kept while a bootstrap moves the components about. */
export interface Grouping {
  readonly origin: readonly number[];
  readonly bands: readonly (readonly number[])[];
}

export interface BandReading extends CurveShape {
  readonly fitted: FittedBand;
  /** Refined on the data, mm along the run. */
  readonly apexMm: number;
  readonly centroidMm: number;
  /** Densities of the band alone at its apex. */
  readonly heights: Heights;
  /** ∫ visual density of the band alone, mm. */
  readonly amount: number;
  /** The part of it that lies where others have at least as much: how it is divided rests on the fit's shapes. */
  readonly contested: number;
  /** Densities of all others at the apex. */
  readonly others: Heights;
}

export interface StripReadings {
  readonly bands: readonly BandReading[];
  readonly originAmount: number;
  readonly originContested: number;
  /** Of bands and origin together. */
  readonly totalAmount: number;
}

/** Where the fit is below this density, what is left over is noise and is not shared out. */
const LEAST_FITTED = 0.004;
/** The band's colour is read from this much of its crown on either side, mm, or less for a narrow band. */
const CROWN_MM = 0.8;

/** @param paperAt signals of the bare paper at a place along the run, mm. */
export function readBands(
  fit: BandFit,
  grouping: Grouping,
  data: FitData,
  paperAt: (mm: number) => Triple,
  calibration: CompiledCalibration,
  addition: Addition,
): StripReadings {
  const ratio = dataOverFit(fit, data);
  const pick = (indices: readonly number[]): Component[] => indices.map((j) => fit.components[j]);
  const alone = [...grouping.bands, grouping.origin].map((indices) => {
    const components = pick(indices);
    const own = ownDensity(components, ratio, data);
    return { components, own, visual: visualCurve(own, data, paperAt, calibration, addition) };
  });
  const together = Float64Array.from({ length: data.bins }, (_, i) => alone.reduce((sum, a) => sum + a.visual[i], 0));
  const origin = alone[alone.length - 1];
  const limits = [data.firstMm - data.binMm, data.firstMm + data.bins * data.binMm] as const;
  const bands = alone.slice(0, -1).map(({ components, own, visual }): BandReading => {
    const fitted = asBand(components, data);
    const smooth = (mm: number): number =>
      visualDensity(paperAt(fitted.apexMm), densitiesOf(addition, heightsAt(components, mm)), calibration);
    const { baseMm, widthMm } = curveShape(smooth, fitted.apexMm, limits);
    const apexMm = refinedApex(own, { apexMm: fitted.apexMm, heights: fitted.heights, widthMm }, data);
    const reach = Math.min(CROWN_MM, widthMm / 5);
    const heights = densitiesOf(addition, heightsNear(own, data, apexMm, reach));
    const all = densitiesOf(addition, heightsNear(data.density, data, apexMm, reach));
    const left = (c: number): number => Math.max(0, all[c] - heights[c]);
    return {
      fitted,
      apexMm,
      heights,
      others: [left(0), left(1), left(2)],
      ...amountOf(visual, data),
      contested: contestedOf(visual, together, data),
      ...curveShape((mm) => interpolated(visual, data, mm), apexMm, limits),
      baseMm,
    };
  });
  const originAmount = amountOf(origin.visual, data).amount;
  return {
    bands,
    originAmount,
    originContested: contestedOf(origin.visual, together, data),
    totalAmount: bands.reduce((sum, b) => sum + b.amount, originAmount),
  };
}

function contestedOf(own: Float64Array, together: Float64Array, data: FitData): number {
  return own.reduce((sum, v, i) => sum + Math.min(v, together[i] - v), 0) * data.binMm;
}

/** Data over fit, both smoothed a little, planar: what the fit missed is shared out among all in proportion. */
function dataOverFit(fit: BandFit, data: FitData): Float64Array {
  const { bins } = data;
  const top = smoothed(data.density, bins);
  const bottom = smoothed(fit.fitted, bins);
  return top.map((v, i) => (bottom[i] > LEAST_FITTED ? Math.min(1.5, Math.max(0.5, v / bottom[i])) : 1));
}

function smoothed(planar: Float64Array, bins: number): Float64Array {
  return planar.map((v, k) => {
    const i = k % bins;
    const [before, after] = [i > 0 ? planar[k - 1] : v, i + 1 < bins ? planar[k + 1] : v];
    return (before + 2 * v + after) / 4;
  });
}

/** These components' share of the data, planar. */
function ownDensity(components: readonly Component[], ratio: Float64Array, data: FitData): Float64Array {
  const { bins, firstMm, binMm } = data;
  const own = new Float64Array(3 * bins);
  for (const c of components) {
    for (let i = 0; i < bins; i++) {
      const shape = unitShape(firstMm + i * binMm, c);
      for (let k = 0; k < 3; k++) own[k * bins + i] += c.heights[k] * shape * ratio[k * bins + i];
    }
  }
  return own;
}

function visualCurve(
  own: Float64Array,
  data: FitData,
  paperAt: (mm: number) => Triple,
  calibration: CompiledCalibration,
  addition: Addition,
): Float64Array {
  const { bins, firstMm, binMm } = data;
  return Float64Array.from({ length: bins }, (_, i) => {
    const amounts: Triple = [own[i], own[bins + i], own[2 * bins + i]];
    return amounts[0] + amounts[1] + amounts[2] < 1e-5
      ? 0
      : visualDensity(paperAt(firstMm + i * binMm), densitiesOf(addition, amounts), calibration);
  });
}

function amountOf(visual: Float64Array, data: FitData): { amount: number; centroidMm: number } {
  let sum = 0;
  let moment = 0;
  for (let i = 0; i < visual.length; i++) {
    sum += visual[i];
    moment += visual[i] * i;
  }
  return { amount: sum * data.binMm, centroidMm: data.firstMm + (sum > 0 ? moment / sum : 0) * data.binMm };
}

function interpolated(curve: Float64Array, data: FitData, mm: number): number {
  const at = Math.min(curve.length - 1, Math.max(0, (mm - data.firstMm) / data.binMm));
  const i = Math.min(curve.length - 2, Math.floor(at));
  return curve[i] + (at - i) * (curve[i + 1] - curve[i]);
}

/** Densities at the apex: a parabola's top over the crown, one a channel. */
function heightsNear(own: Float64Array, data: FitData, apexMm: number, reachMm: number): Heights {
  const { bins, firstMm, binMm } = data;
  const reach = Math.max(1.6 * binMm, reachMm);
  const at = (c: number): number => {
    let [s0, s2, s4, t0, t2] = [0, 0, 0, 0, 0];
    for (let i = 0; i < bins; i++) {
      const d = (firstMm + i * binMm - apexMm) / reach;
      if (Math.abs(d) > 1) continue;
      s0 += 1;
      s2 += d * d;
      s4 += d ** 4;
      t0 += own[c * bins + i];
      t2 += own[c * bins + i] * d * d;
    }
    // An even parabola: about the apex the odd part is nil, and leaving it out halves the noise.
    const spread = s0 * s4 - s2 * s2;
    return Math.max(0, spread > 1e-9 ? (s4 * t0 - s2 * t2) / spread : t0 / Math.max(1, s0));
  };
  return [at(0), at(1), at(2)];
}
