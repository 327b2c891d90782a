/**
 * The light where the card lies, in the scale of a calibration by another target in the same scan. That target's own light
 * is known only where it lies; the card's bare paper carries it on, although its paper is another: a smooth surface over
 * both places, with one factor for how much lighter one paper is than the other.
 */
import { cholesky, solveCholesky } from './cholesky.ts';
import type { Calibration, PointMm, SurroundReading } from './calibration.ts';
import { lightAt } from './flatField.ts';
import { fitFlatField } from './flatFieldFit.ts';
import { curveFunction } from './toneCurve.ts';
import { upperMedian } from '../quantile.ts';
import { mean } from '../scatter.ts';

export interface CardLight {
  /** About 1. */
  at(channel: 0 | 1 | 2, placeMm: PointMm): number;
  /** Relative standard uncertainty of the light's level at the card, common to all its patches. */
  readonly doubt: number;
  readonly by: 'the calibration' | 'both surrounds' | 'the card alone' | 'nothing';
}

/** Within the light that was seen, as a share of its half width. */
const SEEN = 1.05;
/** What a quadratic leaves of a bed's light, relative; from study/teach.ts's scanners. */
const SURFACE_DOUBT = 0.0015;
/** Nothing tells the light between target and card: beds fall off by one or two per cent. Common practice, no source. */
const UNKNOWN_DOUBT = 0.01;
/** A factor between the papers that is less sure than this is none. */
const MOST_FACTOR_DOUBT = 0.006;
const FEWEST = 12;
const MOST_RESIDUAL = 0.02;

/**
 * Light over the bed at a card beside the known target: by the calibration's own surface, by one through the bare paper of both, by the card alone, or none.
 * @param known, card bare stock of the two @param places of the card's patches, mm of the bed
 */
export function lightAtCard(
  { flatField, curves }: Calibration,
  known: readonly SurroundReading[],
  card: readonly SurroundReading[],
  places: readonly PointMm[],
): CardLight {
  if (flatField !== null) {
    const seen = places.every((place) =>
      [0, 1].every((k) => Math.abs((place[k] - flatField.centreMm[k]) / flatField.halfMm[k]) <= SEEN),
    );
    if (seen) {
      return { at: (c, place) => lightAt(flatField, c, place), doubt: SURFACE_DOUBT, by: 'the calibration' };
    }
    const joint = jointLight({ flatField, curves }, known, card);
    if (joint !== null) return joint;
    const off = Math.hypot(UNKNOWN_DOUBT, flatField.residual);
    return { at: (c, place) => lightAt(flatField, c, place), doubt: off, by: 'the calibration' };
  }
  const own = fitFlatField(card, curves);
  if (own === null) return { at: () => 1, doubt: UNKNOWN_DOUBT * 1.5, by: 'nothing' };
  return { at: (c, place) => lightAt(own, c, place), doubt: UNKNOWN_DOUBT, by: 'the card alone' };
}

/** Least squares of six coefficients and the papers' factor a channel, twice: readings that lie far off have no second say. */
function jointLight(
  { flatField, curves }: { flatField: NonNullable<Calibration['flatField']>; curves: Calibration['curves'] },
  known: readonly SurroundReading[],
  card: readonly SurroundReading[],
): CardLight | null {
  if (known.length < FEWEST || card.length < FEWEST) return null;
  const all = [...known, ...card];
  const range = (k: 0 | 1): readonly [centre: number, half: number] => {
    const values = all.map((reading) => reading.placeMm[k]);
    const [low, high] = [Math.min(...values), Math.max(...values)];
    return [(low + high) / 2, (high - low) / 2];
  };
  const [[cx, hx], [cy, hy]] = [range(0), range(1)];
  if (!(hx > 0 && hy > 0)) return null;
  const terms = ([x, y]: PointMm): number[] => {
    const [u, v] = [(x - cx) / hx, (y - cy) / hy];
    return [1, u, v, u * u, u * v, v * v];
  };
  const fits = [0, 1, 2].map((c) => {
    const linear = curveFunction(curves[c]);
    const values = (readings: readonly SurroundReading[]): number[] => readings.map((r) => linear(r.device[c]));
    const [ofKnown, ofCard] = [values(known), values(card)];
    // The known target's readings are put on its own light's scale, so that the calibration's signals keep theirs.
    const scale = mean(ofKnown) / mean(known.map((r) => lightAt(flatField, c, r.placeMm)));
    const rows = [
      ...known.map((r, i) => ({ terms: [...terms(r.placeMm), 0], value: ofKnown[i] / scale })),
      ...card.map((r, i) => ({ terms: [...terms(r.placeMm), -ofCard[i] / mean(ofCard)], value: 0 })),
    ];
    return robustFit(rows);
  });
  if (fits.some((fit) => fit === null)) return null;
  const solved = fits.flatMap((fit) => fit ?? []);
  const doubt = Math.max(...solved.map((fit) => fit.lastDoubt));
  if (doubt > MOST_FACTOR_DOUBT || Math.max(...solved.map((fit) => fit.residual)) > MOST_RESIDUAL) return null;
  return {
    at: (c, place) => terms(place).reduce((sum, term, i) => sum + term * solved[c].x[i], 0),
    doubt: Math.hypot(doubt, SURFACE_DOUBT),
    by: 'both surrounds',
  };
}

interface Row {
  readonly terms: readonly number[];
  readonly value: number;
}

/** @returns the solution, the scatter of what it leaves, and the standard error of its last unknown; null when it is not fixed */
function robustFit(rows: readonly Row[]): { x: Float64Array; residual: number; lastDoubt: number } | null {
  const size = rows[0].terms.length;
  let kept = rows;
  for (let round = 0; ; round++) {
    const normal = new Float64Array(size * size);
    const right = new Float64Array(size);
    for (const { terms, value } of kept) {
      for (let i = 0; i < size; i++) {
        right[i] += terms[i] * value;
        for (let j = 0; j < size; j++) normal[i * size + j] += terms[i] * terms[j];
      }
    }
    let factor: Float64Array;
    try {
      factor = cholesky(normal, size);
    } catch {
      return null;
    }
    const x = solveCholesky(factor, size, right);
    const left = (row: Row): number => Math.abs(row.terms.reduce((sum, term, i) => sum + term * x[i], -row.value));
    const scatter = 1.4826 * upperMedian(rows.map(left));
    if (round === 2) {
      const last = new Float64Array(size);
      last[size - 1] = 1;
      return { x, residual: scatter, lastDoubt: scatter * Math.sqrt(solveCholesky(factor, size, last)[size - 1]) };
    }
    kept = rows.filter((row) => left(row) <= 3 * scatter + 1e-6);
    if (kept.length < 2 * size) return null;
  }
}
