/** How far every number would scatter if the strip's chance were drawn again: the fit's residuals, resampled in blocks, fitted anew. */
import { seededRandom } from '../../seededRandom.ts';
import { fitBands, type BandFit, type FitData, type FitLimits } from './bandFit.ts';
import type { StripReadings } from './bandReadings.ts';

export interface RepeatOptions {
  /** Fresh draws. @default 40 */
  readonly repeats: number;
  /** Length of a block, mm; longer than the paper's pattern holds together. @default 2.5 */
  readonly blockMm: number;
  readonly seed: number;
}

/** Steps of each refit: it starts where it will end. */
const REFIT_STEPS = 3;

/**
 * Moving-block bootstrap of whitened residuals (Künsch 1989, Ann. Stat. 17, 1217–1241): three channels stay together, so paper's grey
 * pattern stays grey; whitening lets quiet and loud places trade residuals.
 */
export function repeatReadings(
  fit: BandFit,
  data: FitData,
  limits: FitLimits,
  read: (fit: BandFit, data: FitData) => StripReadings,
  options: RepeatOptions,
): StripReadings[] {
  const random = seededRandom(options.seed);
  const { bins } = data;
  const block = Math.max(1, Math.min(bins, Math.round(options.blockMm / data.binMm)));
  const white = whitenedRest(data, fit.fitted);
  const found: StripReadings[] = [];
  for (let r = 0; r < options.repeats; r++) {
    const density = fit.fitted.slice();
    for (let at = 0; at < bins; at += block) {
      const from = Math.floor(random() * (bins - block + 1));
      const sign = random() < 0.5 ? -1 : 1;
      for (let i = 0; i < block && at + i < bins; i++) addRest(density, data, at + i, white, from + i, sign);
    }
    const again: FitData = { ...data, density };
    found.push(read(fitBands(again, fit.components, limits, REFIT_STEPS), again));
  }
  return found;
}

function whitenedRest(data: FitData, fitted: Float64Array): Float64Array {
  const { bins, density, whiten } = data;
  const white = new Float64Array(3 * bins);
  for (let i = 0; i < bins; i++) {
    for (let a = 0; a < 3; a++) {
      for (let c = 0; c <= a; c++)
        white[3 * i + a] += whiten[9 * i + 3 * a + c] * (density[c * bins + i] - fitted[c * bins + i]);
    }
  }
  return white;
}

/** Undoes the whitening of bin `to` on the white residual of bin `from`, by forward substitution: the matrices are lower triangular. */
function addRest(
  density: Float64Array,
  data: FitData,
  to: number,
  white: Float64Array,
  from: number,
  sign: number,
): void {
  const { bins, whiten } = data;
  const w = 9 * to;
  const r0 = white[3 * from] / whiten[w];
  const r1 = (white[3 * from + 1] - whiten[w + 3] * r0) / whiten[w + 4];
  const r2 = (white[3 * from + 2] - whiten[w + 6] * r0 - whiten[w + 7] * r1) / whiten[w + 8];
  density[to] += sign * r0;
  density[bins + to] += sign * r1;
  density[2 * bins + to] += sign * r2;
}

/** Robust standard deviation of repeats: half the middle 68 %. */
export function scatter(values: readonly number[]): number {
  if (values.length < 3) return 0;
  const sorted = values.toSorted((a, b) => a - b);
  const at = (share: number): number => {
    const k = share * (sorted.length - 1);
    const i = Math.floor(k);
    return sorted[i] + (k - i) * ((sorted[i + 1] ?? sorted[i]) - sorted[i]);
  };
  return (at(0.841) - at(0.159)) / 2;
}
