/** Light that changes over a target shows in its residuals: patches on the dim side are all told too dark. */
import { fitSurface, surfaceAt } from '../raster/lowOrderSurface.ts';
import type { PointMm } from './calibration.ts';
import { upperMedian } from '../quantile.ts';

/** Too dark to speak of light: noise and stray light rule there. */
const DARKEST_Y = 0.03;
const FEWEST = 20;

export interface LightDrift {
  /** Largest over smallest light that the residuals show over the target, minus 1. */
  readonly range: number;
  /** How much better such a light explains the residuals than none: F of its freedoms, 5 or 2. */
  readonly F: number;
}

/** What is known of a patch: its place, and its known and left-out Y. */
interface DriftPatch {
  readonly placeMm: PointMm;
  readonly known: number;
  readonly told: number;
}

/**
 * @param patches place, known and left-out Y of each patch that the fit saw
 * @returns null when too few patches speak
 */
export function lightDriftOver(patches: readonly DriftPatch[]): LightDrift | null {
  const seen = surfaceOver(patches, 2);
  if (seen === null) return null;
  const { logs, fitted, mean } = seen;
  // Medians of magnitudes instead of sums of squares: a few metameric patches must not hide the light, nor make one.
  const before = upperMedian(logs.map((value) => Math.abs(value - mean))) ** 2;
  const after = upperMedian(logs.map((value, i) => Math.abs(value - fitted[i]))) ** 2;
  const freedom = logs.length - 6;
  return {
    range: Math.exp(Math.max(...fitted) - Math.min(...fitted)) - 1,
    F: after > 0 ? (Math.max(0, before - after) / 5 / after) * freedom : Infinity,
  };
}

/**
 * Light that only falls to one side. Two freedoms leave a target of 24 patches enough to tell by sums of squares, where medians of
 * so few leap about.
 * @returns null when too few patches speak
 */
export function lightSlopeOver(patches: readonly DriftPatch[]): LightDrift | null {
  const seen = surfaceOver(patches, 1);
  if (seen === null) return null;
  const { logs, fitted, mean } = seen;
  const before = logs.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const after = logs.reduce((sum, value, i) => sum + (value - fitted[i]) ** 2, 0);
  return {
    range: Math.exp(Math.max(...fitted) - Math.min(...fitted)) - 1,
    F: after > 0 ? (Math.max(0, before - after) / 2 / after) * (logs.length - 3) : Infinity,
  };
}

/** Logarithms of told over known Y, and a smooth surface through them; null when too few patches speak. */
function surfaceOver(
  patches: readonly DriftPatch[],
  order: 1 | 2,
): { readonly logs: readonly number[]; readonly fitted: readonly number[]; readonly mean: number } | null {
  const used = patches.filter(({ known, told }) => known > DARKEST_Y && told > DARKEST_Y);
  if (used.length < FEWEST) return null;
  const logs = used.map(({ known, told }) => Math.log(told / known));
  const places = used.map(({ placeMm }) => placeMm);
  const surface = fitSurface(
    places,
    logs.map((value) => [value, value, value] as const),
    order,
  );
  const out = [0, 0, 0];
  const fitted = places.map(([x, y]) => {
    surfaceAt(surface, x, y, out);
    return out[0];
  });
  return { logs, fitted, mean: logs.reduce((sum, value) => sum + value, 0) / logs.length };
}
