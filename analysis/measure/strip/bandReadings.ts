/** From a fit to numbers: place, shape, colour and amount of every band, and what stayed at the origin. */
import type { CompiledCalibration } from '../../calibrate/apply.ts';
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
}

export interface StripReadings {
  readonly bands: readonly BandReading[];
  readonly originHeights: Heights;
  readonly originAmount: number;
  /** Of bands and origin together. */
  readonly totalAmount: number;
}

/** Where the fit is below this density, what is left over is noise and is not shared out. */
const LEAST_FITTED = 0.004;

/** @param paperAt signals of the bare paper at a place along the run, mm. */
export function readBands(
  fit: BandFit,
  grouping: Grouping,
  data: FitData,
  paperAt: (mm: number) => Triple,
  calibration: CompiledCalibration,
): StripReadings {
  const rest = data.density.map((v, i) => v - fit.fitted[i]);
  const pick = (indices: readonly number[]): Component[] => indices.map((j) => fit.components[j]);
  const bands = grouping.bands.map((indices): BandReading => {
    const fitted = asBand(pick(indices));
    const { amount, centroidMm } = amountOf(fitted.components, fit, data, paperAt, calibration);
    const paper = paperAt(fitted.apexMm);
    const curve = (mm: number): number => visualDensity(paper, heightsAt(fitted.components, mm), calibration);
    const limits = [data.firstMm - data.binMm, data.firstMm + data.bins * data.binMm] as const;
    const apexMm = refinedApex(fitted, data, rest);
    return { fitted, apexMm, centroidMm, heights: fitted.heights, amount, ...curveShape(curve, fitted.apexMm, limits) };
  });
  const origin = pick(grouping.origin);
  const originAmount = amountOf(origin, fit, data, paperAt, calibration).amount;
  return {
    bands,
    originHeights: strongest(origin, data),
    originAmount,
    totalAmount: bands.reduce((sum, b) => sum + b.amount, originAmount),
  };
}

/** ∫ visual density of these components alone; what the fit missed is shared out among all in proportion. */
function amountOf(
  components: readonly Component[],
  fit: BandFit,
  data: FitData,
  paperAt: (mm: number) => Triple,
  calibration: CompiledCalibration,
): { amount: number; centroidMm: number } {
  const { bins, binMm, firstMm, density } = data;
  let amount = 0;
  let moment = 0;
  for (let i = 0; i < bins; i++) {
    const mm = firstMm + i * binMm;
    const own: [number, number, number] = [0, 0, 0];
    for (const c of components) {
      const shape = unitShape(mm, c);
      for (let k = 0; k < 3; k++) own[k] += c.heights[k] * shape;
    }
    if (own[0] + own[1] + own[2] < 1e-5) continue;
    for (let k = 0; k < 3; k++) {
      const all = fit.fitted[k * bins + i];
      if (all > LEAST_FITTED) own[k] *= Math.min(1.5, Math.max(0.5, density[k * bins + i] / all));
    }
    const seen = visualDensity(paperAt(mm), own, calibration) * binMm;
    amount += seen;
    moment += seen * mm;
  }
  return { amount, centroidMm: amount > 0 ? moment / amount : firstMm };
}

function strongest(components: readonly Component[], data: FitData): Heights {
  let best: Heights = [0, 0, 0];
  for (let i = 0; i < data.bins; i++) {
    const h = heightsAt(components, data.firstMm + i * data.binMm);
    if (Math.hypot(...h) > Math.hypot(...best)) best = h;
  }
  return best;
}
