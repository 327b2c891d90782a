/** Colours along a fitted ink's curve: of whole regions (many doses mixed as light), of their ends, of bare paper. */
import { labD50, type LabD50, labToXyz, xyzToLab } from '../../colour/lab.ts';
import { straightened } from '../../film/bend.ts';
import { type CurvePoint, doseCurve, nearestDose } from '../../film/doseCurve.ts';
import { doubtOf, type FilmColour, filmColour, labSlopesOf, spread, wideningOfColours } from '../../film/filmColour.ts';
import type { LabValue } from '../../quantity.ts';
import { MISFIT_LIMIT } from '../../film/judge.ts';
import type { InkFilm } from './inkFilm.ts';
import { MOST_MIXED } from './rules.ts';
import type { FilmRegion } from './series.ts';

type Triple = readonly [number, number, number];

export interface PlacedColour extends FilmColour {
  /** Distance of its signals from the curve, in standard deviations (root mean square). */
  readonly away: number;
}

export interface PlacedRegion {
  readonly colour: PlacedColour;
  readonly dark: PlacedColour;
  readonly light: PlacedColour;
  /** Where the pen passed twice; null where that was not told. */
  readonly double: PlacedColour | null;
  /** Bin by bin. */
  readonly doses: readonly number[];
  readonly labs: readonly LabD50[];
  readonly away: readonly number[];
}

export interface FittedPaper {
  readonly colour: FilmColour;
  /** Doses rising, beyond what was seen on either side. */
  readonly curve: readonly CurvePoint[];
  /** Palest and densest dose seen. */
  readonly seen: readonly [number, number];
}

const POINTS = 48;
/** The curve reaches this factor beyond what was seen. */
const BEYOND = 4;

/** @param paper index into the fit's papers @param doses seen there, as `fittedDoses` counts them */
export function fittedPaper({ fit }: InkFilm, paper: number, doses: readonly number[]): FittedPaper {
  const seen: [number, number] = [Math.min(...doses), Math.max(...doses)];
  const from = seen[0] / BEYOND;
  const step = (seen[1] * BEYOND) / from;
  const along = Array.from({ length: POINTS }, (_, i) => from * step ** (i / (POINTS - 1)));
  return { colour: filmColour(fit, paper), curve: doseCurve(fit, paper, along), seen };
}

/** @param paper the region's, as an index into the fit's */
export function placedRegion(film: InkFilm, paper: number, { curve }: FittedPaper, region: FilmRegion): PlacedRegion {
  const at = (signal: Triple) => nearestDose(curve, straightened(signal, film.fit.sensors.bends));
  const { bins, dark, light, double } = region.doses;
  const found = bins.map(({ signal }) => at(signal));
  return {
    colour: mixedColour(film, paper, pure(found.map(({ dose, away }, i) => ({ dose, away, share: bins[i].share })))),
    dark: mixedColour(film, paper, [{ ...at(dark), share: 1 }]),
    light: mixedColour(film, paper, [{ ...at(light), share: 1 }]),
    double: double ? mixedColour(film, paper, [{ ...at(double), share: 1 }]) : null,
    doses: found.map(({ dose }) => dose),
    labs: found.map(({ lab }) => lab),
    away: found.map(({ away }) => away),
  };
}

interface Part {
  readonly dose: number;
  readonly away: number;
  readonly share: number;
}

/** Without pixels that hold paper beside ink (inkFilm.ts): an ink's colour is that of its film. */
function pure(parts: readonly Part[]): readonly Part[] {
  const on = parts.filter(({ away }) => away <= MISFIT_LIMIT);
  const all = parts.reduce((sum, { share }) => sum + share, 0);
  return on.reduce((sum, { share }) => sum + share, 0) >= (1 - MOST_MIXED) * all ? on : parts;
}

/** Doses side by side: light adds, Lab does not. */
function mixedColour({ fit }: InkFilm, paper: number, parts: readonly Part[]): PlacedColour {
  const points = doseCurve(
    fit,
    paper,
    parts.map(({ dose }) => dose),
  );
  const size = points[0].slopes.length / 3;
  const xyz: [number, number, number] = [0, 0, 0];
  const rows = new Float64Array(3 * size);
  const own: [number, number, number] = [0, 0, 0];
  const all = parts.reduce((sum, { share }) => sum + share, 0);
  let squares = 0;
  points.forEach((point, i) => {
    const share = parts[i].share / all;
    labToXyz(point.lab).forEach((v, k) => (xyz[k] += share * v));
    addXyzSlopes(rows, point, share, size);
    ownVariance(fit, point).forEach((v, k) => (own[k] += share * share * v));
    squares += share * parts[i].away ** 2;
  });
  const lab = xyzToLab(xyz);
  const slopes = labSlopesOf(xyz, rows, size);
  return { lab, slopes, u: doubtOf(fit, slopes, own), away: Math.sqrt(squares) };
}

/** What a point's u holds beside the fit's unknowns: how well its signal tells its dose. */
function ownVariance(fit: InkFilm['fit'], { u, slopes }: CurvePoint): LabValue {
  const size = slopes.length / 3;
  const of = (k: 0 | 1 | 2): number =>
    Math.max(0, (u[k] / wideningOfColours(fit)) ** 2 - spread(fit, slopes.subarray(k * size, (k + 1) * size)));
  return [of(0), of(1), of(2)];
}

/** Slopes of Lab turned back into those of XYZ, times a share. */
function addXyzSlopes(rows: Float64Array, { lab, slopes }: CurvePoint, share: number, size: number): void {
  const turn = xyzByLab(lab);
  for (let k = 0; k < 3; k++) {
    for (let a = 0; a < 3; a++) {
      const factor = share * turn[3 * k + a];
      if (factor === 0) continue;
      for (let j = 0; j < size; j++) rows[k * size + j] += factor * slopes[a * size + j];
    }
  }
}

/** ∂(X, Y, Z)/∂(L*, a*, b*), 3 × 3, by central differences. */
function xyzByLab(lab: LabD50): number[] {
  const out = Array.from({ length: 9 }, () => 0);
  const h = 1e-3;
  for (let a = 0; a < 3; a++) {
    const moved = (by: number) => labToXyz(shifted(lab, a, by));
    const [up, down] = [moved(h), moved(-h)];
    for (let k = 0; k < 3; k++) out[3 * k + a] = (up[k] - down[k]) / (2 * h);
  }
  return out;
}

/** One component moved. */
export function shifted([L, a, b]: LabD50, component: number, by: number): LabD50 {
  return labD50(L + (component === 0 ? by : 0), a + (component === 1 ? by : 0), b + (component === 2 ? by : 0));
}
