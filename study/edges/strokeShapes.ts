/** Paths and edges of strokes: straight, bent, waves, a stub that turns; rough and sine edges; hairs. */
import { normal } from '../../analysis/seededRandom.ts';
import type { Hair, Stroke } from './drawStrokes.ts';

export interface Path {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly stepMm: number;
}

const STEP_MM = 0.02;

/** @param at Place at t = 0..1, mm. Resampled to even steps. */
export function pathOf(at: (t: number) => readonly [number, number]): Path {
  const many = 6000;
  const length = new Float64Array(many + 1);
  const places = Array.from({ length: many + 1 }, (_, k) => at(k / many));
  for (let k = 1; k <= many; k++) {
    length[k] = length[k - 1] + Math.hypot(places[k][0] - places[k - 1][0], places[k][1] - places[k - 1][1]);
  }
  const n = Math.max(2, Math.round(length[many] / STEP_MM) + 1);
  const stepMm = length[many] / (n - 1);
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  for (let i = 0, k = 0; i < n; i++) {
    while (k < many - 1 && length[k + 1] < i * stepMm) k++;
    const part = (i * stepMm - length[k]) / Math.max(1e-12, length[k + 1] - length[k]);
    x[i] = places[k][0] + part * (places[k + 1][0] - places[k][0]);
    y[i] = places[k][1] + part * (places[k + 1][1] - places[k][1]);
  }
  return { x, y, stepMm };
}

/** An edge's own departure, mm, one value a place of the path. */
export type EdgeShape = (count: number, stepMm: number, random: () => number) => Float64Array;

export function smoothEdge(): EdgeShape {
  return (count) => new Float64Array(count);
}

export function sineEdge(amplitudeMm: number, waveMm: number): EdgeShape {
  return (count, stepMm, random) => {
    const phase = 2 * Math.PI * random();
    return Float64Array.from(
      { length: count },
      (_, i) => amplitudeMm * Math.sin(phase + (2 * Math.PI * i * stepMm) / waveMm),
    );
  };
}

/** White noise smoothed by a Gaussian of `correlationMm`. */
export function roughEdge(sdMm: number, correlationMm: number): EdgeShape {
  return (count, stepMm, random) => {
    const sigma = correlationMm / stepMm;
    const reach = Math.ceil(3.5 * sigma);
    const white = Float64Array.from({ length: count + 2 * reach }, () => normal(random));
    const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, k) => Math.exp(-0.5 * ((k - reach) / sigma) ** 2));
    const scale = sdMm / Math.sqrt(kernel.reduce((sum, v) => sum + v * v, 0));
    return Float64Array.from({ length: count }, (_, i) => {
      let sum = 0;
      for (let k = 0; k < kernel.length; k++) sum += kernel[k] * white[i + k];
      return sum * scale;
    });
  };
}

export interface Edges {
  readonly shape: EdgeShape;
  /** Hairs for each mm of edge, and how they are drawn. */
  readonly hairsPerMm?: number;
  readonly hair?: (random: () => number) => Pick<Hair, 'lengthMm' | 'widthMm' | 'slant'>;
}

/** @param half Half the width by place (0..1) and direction of the way (unit vector), mm. */
export function strokeAlong(
  path: Path,
  half: (t: number, dx: number, dy: number) => number,
  dose: (t: number) => number,
  edges: Edges,
  random: () => number,
): Stroke {
  const n = path.x.length;
  const side = () => edges.shape(n, path.stepMm, random);
  const [left, right] = [side(), side()];
  const doses = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const a = Math.max(0, i - 1);
    const b = Math.min(n - 1, i + 1);
    const length = Math.hypot(path.x[b] - path.x[a], path.y[b] - path.y[a]) || 1;
    const own = half(i / (n - 1), (path.x[b] - path.x[a]) / length, (path.y[b] - path.y[a]) / length);
    left[i] += own;
    right[i] += own;
    doses[i] = dose(i / (n - 1));
  }
  const hairs: Hair[] = [];
  const count = Math.round((edges.hairsPerMm ?? 0) * 2 * (n - 1) * path.stepMm);
  for (let k = 0; k < count && edges.hair; k++) {
    // One in each stretch of edge, at a random place of its middle, so that hairs do not fall upon each other.
    const place = ((k >> 1) + 0.2 + 0.6 * random()) / Math.ceil(count / 2);
    hairs.push({ index: Math.min(n - 2, Math.floor(place * n)), side: k % 2 === 0 ? -1 : 1, ...edges.hair(random) });
  }
  return { x: path.x, y: path.y, stepMm: path.stepMm, left, right, dose: doses, hairs };
}
