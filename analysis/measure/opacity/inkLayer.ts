/** A fitted film taken off its papers: what is needed to lay it on any other ground, with what the fit leaves in doubt of it. */
import { cholesky, solveCholesky } from '../../calibrate/cholesky.ts';
import { widening } from '../../film/filmColour.ts';
import { DOSE_LOG_SD, inkState } from '../../film/unknowns.ts';
import type { InkFilm } from '../film/inkFilm.ts';
import type { PlacedRegion } from '../film/placed.ts';

/** Absorption and scatter per unit dose on the grid of analysis/film/grid.ts. */
export interface LayerCurves {
  readonly k: readonly number[];
  readonly s: readonly number[];
}

export interface InkLayer extends LayerCurves {
  /** One standard deviation along each independent way that the fit leaves open: curves there, and the factor on all doses that goes with them. */
  readonly doubts: readonly (LayerCurves & { readonly doseFactor: number })[];
  readonly samples: readonly LayerSample[];
}

/** How much ink lies where in one region. */
export interface LayerSample {
  readonly region: string;
  /** Shares add up to 1. */
  readonly bins: readonly { readonly dose: number; readonly share: number }[];
}

/** @param placed bins of each region, told along the curve of its own paper @param regionOf region's id and its bins' shares */
export function inkLayer(
  { fit }: Pick<InkFilm, 'fit'>,
  placed: ReadonlyMap<number, PlacedRegion>,
  regionOf: (region: number) => { readonly id: string; readonly shares: readonly number[] },
): InkLayer {
  const { state } = fit;
  const top = Math.max(...state.ink.k);
  return {
    k: [...state.ink.k],
    s: [...state.ink.S],
    doubts: doubtsOf(fit),
    samples: [...placed].map(([region, { doses }]) => {
      const { id, shares } = regionOf(region);
      const all = shares.reduce((a, b) => a + b, 0);
      // Placed doses count at the strongest wavelength (analysis/film/absorption.ts).
      return { region: id, bins: doses.map((dose, i) => ({ dose: dose / top, share: shares[i] / all })) };
    }),
  };
}

/** Ink's unknowns and the mean of the doses', all other unknowns left free: Cholesky's columns of their covariance. */
function doubtsOf(fit: InkFilm['fit']): InkLayer['doubts'] {
  const { state, factor } = fit;
  const { at, z, prior } = state;
  const count = at.count;
  const ink = at.doses;
  const doses = at.grounds - at.doses;
  const rows = Array.from({ length: ink + 1 }, (_, i) => {
    const row = new Float64Array(count);
    if (i < ink) row[i] = 1;
    else row.fill(1 / doses, at.doses, at.grounds);
    return row;
  });
  const solved = rows.map((row) => solveCholesky(factor, count, Float64Array.from(row)));
  const size = ink + 1;
  const covariance = new Float64Array(size * size);
  for (let a = 0; a < size; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let j = 0; j < count; j++) sum += rows[a][j] * solved[b][j];
      covariance[a * size + b] = sum;
      covariance[b * size + a] = sum;
    }
    covariance[a * size + a] += 1e-12;
  }
  const root = cholesky(covariance, size);
  const wider = widening(fit);
  return Array.from({ length: size }, (_, c) => {
    const moved = Float64Array.from(z);
    for (let r = c; r < ink; r++) moved[r] += wider * root[r * size + c];
    const { k, S } = inkState(moved, at, prior);
    return { k: [...k], s: [...S], doseFactor: Math.exp(DOSE_LOG_SD * wider * root[ink * size + c]) };
  });
}
