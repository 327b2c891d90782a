/** What a person says of a strip's bands, put on the run: pins, places without a band, and two that are one. The fit follows. */
import type { BandFit, Component, FitData } from './bandFit.ts';
import { asBand, unitShape, type FittedBand } from './bands.ts';
import type { BandByHand } from './strip.ts';

export interface ByHand {
  /** mm along the run. */
  readonly pinsMm: readonly number[];
  readonly removedMm: readonly number[];
  /** Two places whose bands are one. */
  readonly mergedMm: readonly (readonly [number, number])[];
}

/** A place that a person points at is off by this much, or by half a share of a broad band's width, mm (common practice, no source). */
const POINTING_MM = 2;

export const NOTHING_BY_HAND: ByHand = { pinsMm: [], removedMm: [], mergedMm: [] };

/** Without both ends an R_F has no place, and nothing is done by hand. */
export function byHandAlong(
  bands: readonly BandByHand[],
  ends: { readonly originMm: number | null; readonly frontMm: number | null },
): ByHand {
  const { originMm, frontMm } = ends;
  if (originMm === null || frontMm === null) return NOTHING_BY_HAND;
  const place = (rF: number): number => originMm + rF * (frontMm - originMm);
  return {
    pinsMm: bands.filter((b) => b.says === 'band').map((b) => place(b.rF)),
    removedMm: bands.filter((b) => b.says === 'none').map((b) => place(b.rF)),
    mergedMm: bands.flatMap((b) => (b.says === 'one' ? [[place(b.rF), place(b.with)] as const] : [])),
  };
}

export function isByHand({ pinsMm, removedMm, mergedMm }: ByHand): boolean {
  return pinsMm.length + removedMm.length + mergedMm.length > 0;
}

/**
 * Bands at places where a person says that none is are taken out of the fit and their colour off the data: what a stain gave is no
 * dye's. (What is a neighbour's flank rather is said with `one`.)
 */
export function withoutRemoved(
  fit: BandFit,
  bands: readonly FittedBand[],
  data: FitData,
  removedMm: readonly number[],
): { fit: BandFit; data: FitData } {
  const gone = new Set(removedMm.flatMap((mm) => nearest(bands, mm)?.components ?? []));
  if (gone.size === 0) return { fit, data };
  const taken = densityOf([...gone], data);
  return {
    fit: {
      ...fit,
      components: fit.components.filter((c) => !gone.has(c)),
      fitted: fit.fitted.map((v, k) => v - taken[k]),
    },
    data: { ...data, density: data.density.map((v, k) => v - taken[k]) },
  };
}

function densityOf(components: readonly Component[], { bins, firstMm, binMm }: FitData): Float64Array {
  const sum = new Float64Array(3 * bins);
  for (const c of components) {
    for (let i = 0; i < bins; i++) {
      const shape = unitShape(firstMm + i * binMm, c);
      for (let k = 0; k < 3; k++) sum[k * bins + i] += c.heights[k] * shape;
    }
  }
  return sum;
}

/** Bands that a person says are one dye become one. */
export function mergedByHand(bands: readonly FittedBand[], data: FitData, mergedMm: ByHand['mergedMm']): FittedBand[] {
  let all = [...bands];
  for (const [a, b] of mergedMm) {
    const [one, other] = [nearest(all, a), nearest(all, b)];
    if (one === null || other === null || one === other) continue;
    const both = asBand([...one.components, ...other.components], data);
    all = [...all.filter((band) => band !== one && band !== other), both];
  }
  return all.toSorted((a, b) => a.apexMm - b.apexMm);
}

/** The band that a person means at a place; null: none so near. */
function nearest(bands: readonly FittedBand[], mm: number): FittedBand | null {
  const distance = (band: FittedBand): number => Math.abs(band.apexMm - mm);
  const best = bands.toSorted((a, b) => distance(a) - distance(b))[0];
  if (best === undefined) return null;
  const reach = Math.max(POINTING_MM, ...best.components.map((c) => c.sdMm));
  return distance(best) <= reach ? best : null;
}
