/**
 * A fitted film taken off its papers: what is needed to lay it on any other ground, with what the fit leaves in doubt of it. Where the signals would bear several
 * kinds of ink the layer is their mean, weighed by belief as the fit's colours are (analysis/film/filmColour.ts), and what lies between them is one more doubt each.
 */
import { cholesky, solveCholesky } from '../../calibrate/cholesky.ts';
import { sharesOf, widening } from '../../film/filmColour.ts';
import { meanDose, type ModelState } from '../../film/model.ts';
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
  const mean = meanLayer(fit);
  return {
    ...mean,
    doubts: [...doubtsOf(fit, mean), ...betweenKinds(fit, mean)],
    samples: [...placed].map(([region, { doses }]) => {
      const { id, shares } = regionOf(region);
      const all = shares.reduce((a, b) => a + b, 0);
      // Placed doses count at the strongest wavelength (analysis/film/absorption.ts).
      return { region: id, bins: doses.map((dose, i) => ({ dose: dose / top, share: shares[i] / all })) };
    }),
  };
}

/** A kind's curves as they are at the doses of the fit's own state: no scan tells a common factor of dose from one of absorption. */
function atOwnDoses(fit: InkFilm['fit'], other: ModelState): LayerCurves {
  const factor = Math.exp(DOSE_LOG_SD * (meanDose(other) - meanDose(fit.state)));
  return { k: Array.from(other.ink.k, (v) => factor * v), s: Array.from(other.ink.S, (v) => factor * v) };
}

function kindsOf(fit: InkFilm['fit']): LayerCurves[] {
  return [fit.state, ...fit.others.map(({ state }) => state)].map((state) => atOwnDoses(fit, state));
}

function meanLayer(fit: InkFilm['fit']): LayerCurves {
  const shares = sharesOf(fit);
  const kinds = kindsOf(fit);
  const mean = (key: 'k' | 's'): number[] =>
    kinds[0][key].map((_, l) => kinds.reduce((sum, kind, n) => sum + shares[n] * kind[key][l], 0));
  return { k: mean('k'), s: mean('s') };
}

function betweenKinds(fit: InkFilm['fit'], mean: LayerCurves): InkLayer['doubts'] {
  if (fit.others.length === 0) return [];
  const shares = sharesOf(fit);
  const wider = widening(fit);
  return kindsOf(fit).map((kind, n) => {
    const away = wider * Math.sqrt(shares[n]);
    const moved = (key: 'k' | 's'): number[] => mean[key].map((v, l) => Math.max(0, v + away * (kind[key][l] - v)));
    return { k: moved('k'), s: moved('s'), doseFactor: 1 };
  });
}

/** Ink's unknowns and the mean of the doses', all other unknowns left free: Cholesky's columns of their covariance. */
function doubtsOf(fit: InkFilm['fit'], mean: LayerCurves): InkLayer['doubts'] {
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
    const from = (all: readonly number[], own: Float64Array, there: Float64Array): number[] =>
      all.map((v, l) => Math.max(0, v + there[l] - own[l]));
    return {
      k: from(mean.k, state.ink.k, k),
      s: from(mean.s, state.ink.S, S),
      doseFactor: Math.exp(DOSE_LOG_SD * wider * root[ink * size + c]),
    };
  });
}
