/**
 * The joint fit: every component has one place, width and tail, and one height in each of three channels. Only place, width and tail
 * are searched (Levenberg–Marquardt); the heights that suit them best follow by non-negative least squares inside the model
 * (variable projection: Golub & Pereyra 1973, SIAM J. Numer. Anal. 10, 413–432).
 */
import { writeShape, type BandShape, type Tail } from './bandModel.ts';
import { nonNegative } from './heights.ts';
import { leastSquares } from './levenbergMarquardt.ts';
import { MOST_LN_DISTORTION } from './sorptionShapes.ts';

export interface FitData {
  readonly bins: number;
  readonly firstMm: number;
  readonly binMm: number;
  /** Densities, planar: channel c of bin i at c · bins + i. */
  readonly density: Float64Array;
  /** Turns a bin's three densities into numbers of unit variance: 3 × 3 row-major, nine a bin (noise.ts). */
  readonly whiten: Float64Array;
  /** The same for chance alone, without what the fit's shapes cannot follow. */
  readonly chance: Float64Array;
}

/** The bins from `from` up to, not including, `to`. */
export function cutData(data: FitData, from: number, to: number): FitData {
  const bins = Math.max(0, to - from);
  const density = new Float64Array(3 * bins);
  for (let c = 0; c < 3; c++)
    density.set(data.density.subarray(c * data.bins + from, c * data.bins + from + bins), c * bins);
  return {
    bins,
    binMm: data.binMm,
    firstMm: data.firstMm + from * data.binMm,
    density,
    whiten: data.whiten.slice(9 * from, 9 * to),
    chance: data.chance.slice(9 * from, 9 * to),
  };
}

export interface Component extends BandShape {
  /** Material that stayed at the origin, or a band that ran. */
  readonly kind: 'origin' | 'band';
  /** Heights of the shape as writeShape scales it, one a channel, ≥ 0. */
  readonly heights: readonly [number, number, number];
  /** A person set it here, mm along the run: it stays near. */
  readonly pinMm?: number;
  /** Too faint to show a place and width of its own: held at the origin line, as narrow as a spot. */
  readonly faint?: true;
}

export interface FitLimits {
  readonly originMm: number;
  readonly frontMm: number;
  /** How far from the origin line its material's mean may lie. */
  readonly originReachMm: number;
}

export interface BandFit {
  readonly components: readonly Component[];
  /** Planar, like the data. */
  readonly fitted: Float64Array;
  /** Σ (data − fitted)ᵀ·S⁻¹·(data − fitted). */
  readonly chi2: number;
}

/** Steps of the search at most; it ends early when a step no longer pays. */
const FULL_SEARCH = 30;
/** In one step: of the mean in its deviations, of ln sd, of what tells a tail. */
const MOST_MOVE = { meanSd: 0.8, lnSd: 0.35, tail: 0.8 } as const;
const NARROWEST_MM = 0.35;
/** Share of the run; anything wider is the paper's own drift. */
const WIDEST = 0.13;
/** Bounds of what tells a tail (bandModel.ts): its drag, and the way lost at a time. */
const TAIL_BOUNDS = {
  none: [],
  dragged: [[-0.95, 0.95]],
  overloaded: [[-MOST_LN_DISTORTION, MOST_LN_DISTORTION]],
  delayed: [
    [-4, 1.6],
    [-0.7, 2.3],
  ],
} as const satisfies Record<Tail, readonly (readonly [number, number])[]>;
/** Parameters that are searched, by tail. */
export const SEARCHED = { none: 2, dragged: 3, overloaded: 3, delayed: 4 } as const satisfies Record<Tail, number>;
/** A band set by hand keeps its mean this near, mm: as well as a hand points, and what a tail pulls the mean from the crown. */
const PIN_REACH_MM = 1.2;
/** Faint material at the origin: how far off its line, and its widths (standard deviations: of a pen's line, of a drop of 4 mm), mm. */
const FAINT = { reachMm: 0.3, sdMm: [0.45, 1.15] } as const;

/**
 * @param data Densities per channel over their noise. @param start How many components, and about where, mm along the run. @param steps
 * Most steps of the search
 */
export function fitBands(data: FitData, start: readonly Component[], limits: FitLimits, steps = FULL_SEARCH): BandFit {
  const model = new SharedModel(data, start);
  const bounds = start.map((c) => componentBounds(c, limits));
  const { parameters, chi2 } = leastSquares(
    {
      residuals: 3 * data.bins,
      write: (values, out) => model.residuals(values, out),
      min: bounds.flatMap((b) => b.min),
      max: bounds.flatMap((b) => b.max),
      most: start.flatMap((c) => [
        MOST_MOVE.meanSd * c.sdMm,
        MOST_MOVE.lnSd,
        ...TAIL_BOUNDS[c.tail].map(() => MOST_MOVE.tail),
      ]),
      step: start.flatMap((c) => [0.004 * c.sdMm, 0.002, ...TAIL_BOUNDS[c.tail].map(() => 0.002)]),
    },
    start.flatMap(parametersOf),
    steps,
  );
  return { ...model.result(parameters), chi2 };
}

/** vᵀ·S⁻¹·v for three densities at bin i. */
export function squaredSigmas(data: FitData, i: number, v: readonly number[]): number {
  let sum = 0;
  for (let row = 9 * i; row < 9 * i + 9; row += 3) {
    sum += (data.whiten[row] * v[0] + data.whiten[row + 1] * v[1] + data.whiten[row + 2] * v[2]) ** 2;
  }
  return sum;
}

/** What is searched: mean, ln sd, and what tells its tail. */
function parametersOf(c: Component): number[] {
  return [c.meanMm, Math.log(c.sdMm), c.drag, c.delay].slice(0, SEARCHED[c.tail]);
}

function componentBounds(c: Component, limits: FitLimits): { min: number[]; max: number[] } {
  const run = limits.frontMm - limits.originMm;
  const reach = limits.originReachMm;
  const [from, to, widest] =
    c.kind === 'origin'
      ? [limits.originMm - reach, limits.originMm + reach, Math.max(2, 2 * reach)]
      : [limits.originMm, limits.frontMm + 1, Math.max(1, WIDEST * run)];
  const min = [from, Math.log(NARROWEST_MM)];
  const max = [to, Math.log(widest)];
  if (c.faint) {
    min.splice(0, 2, limits.originMm - FAINT.reachMm, Math.log(FAINT.sdMm[0]));
    max.splice(0, 2, limits.originMm + FAINT.reachMm, Math.log(FAINT.sdMm[1]));
  }
  if (c.pinMm !== undefined) {
    min[0] = c.pinMm - PIN_REACH_MM;
    max[0] = c.pinMm + PIN_REACH_MM;
  }
  const tail = TAIL_BOUNDS[c.tail];
  return { min: [...min, ...tail.map(([low]) => low)], max: [...max, ...tail.map(([, high]) => high)] };
}

interface Column {
  readonly shape: BandShape;
  readonly values: Float64Array;
}

/** Keeps all that a step does not touch: a gradient costs one new column, and its products with the others, a parameter. */
class SharedModel {
  private readonly data: FitData;
  private readonly start: readonly Component[];
  /** Index of each component's first parameter. */
  private readonly first: readonly number[];
  private readonly known: Column[][];
  /** One weight a bin for the heights: in a fit of the same columns to each channel the noise's shape over channels hardly matters. */
  private readonly weight: Float64Array;
  private readonly heights: Float64Array;
  private readonly fitted: Float64Array;
  private kept: { columns: Column[]; gram: Float64Array; right: Float64Array };

  constructor(data: FitData, start: readonly Component[]) {
    const n = start.length;
    this.data = data;
    this.start = start;
    let next = 0;
    this.first = start.map((c) => (next += SEARCHED[c.tail]) - SEARCHED[c.tail]);
    this.known = start.map(() => []);
    this.weight = Float64Array.from({ length: data.bins }, (_, i) => {
      let sum = 0;
      for (let k = 9 * i; k < 9 * i + 9; k++) sum += data.whiten[k] ** 2;
      return sum;
    });
    this.heights = new Float64Array(3 * n);
    this.fitted = new Float64Array(3 * data.bins);
    this.kept = { columns: [], gram: new Float64Array(n * n), right: new Float64Array(3 * n) };
  }

  /** (fitted − data), whitened. */
  residuals(parameters: readonly number[], out: Float64Array): void {
    this.solve(parameters);
    const { bins, density, whiten } = this.data;
    const { fitted } = this;
    for (let i = 0, w = 0; i < bins; i++, w += 9) {
      const r0 = fitted[i] - density[i];
      const r1 = fitted[bins + i] - density[bins + i];
      const r2 = fitted[2 * bins + i] - density[2 * bins + i];
      out[i] = whiten[w] * r0 + whiten[w + 1] * r1 + whiten[w + 2] * r2;
      out[bins + i] = whiten[w + 3] * r0 + whiten[w + 4] * r1 + whiten[w + 5] * r2;
      out[2 * bins + i] = whiten[w + 6] * r0 + whiten[w + 7] * r1 + whiten[w + 8] * r2;
    }
  }

  result(parameters: readonly number[]): { components: Component[]; fitted: Float64Array } {
    this.solve(parameters);
    const n = this.start.length;
    const components = this.start.map((c, j): Component => ({
      ...c,
      ...this.shape(parameters, j),
      heights: [this.heights[j], this.heights[n + j], this.heights[2 * n + j]],
    }));
    return { components, fitted: this.fitted.slice() };
  }

  private solve(parameters: readonly number[]): void {
    const { bins } = this.data;
    const n = this.start.length;
    const columns = this.start.map((_, j) => this.column(parameters, j));
    const { gram, right } = this.products(columns);
    this.fitted.fill(0);
    for (let c = 0; c < 3; c++) {
      const heights = this.heights.subarray(c * n, (c + 1) * n);
      nonNegative(gram, right.subarray(c * n, (c + 1) * n), n, heights);
      for (let j = 0; j < n; j++) {
        const h = heights[j];
        const { values } = columns[j];
        if (h !== 0) for (let i = 0, at = c * bins; i < bins; i++, at++) this.fitted[at] += h * values[i];
      }
    }
  }

  /** ΦᵀWΦ, and ΦᵀWy per channel; only what differs from the kept ones is computed. A lone changed column is not kept. */
  private products(columns: Column[]): { gram: Float64Array; right: Float64Array } {
    const n = columns.length;
    const { bins, density } = this.data;
    const changed = columns.map((column, j) => column !== this.kept.columns[j]);
    const count = changed.filter(Boolean).length;
    if (count === 0) return this.kept;
    const gram = this.kept.gram.slice();
    const right = this.kept.right.slice();
    const weighted = new Float64Array(bins);
    for (let j = 0; j < n; j++) {
      if (!changed[j]) continue;
      const own = columns[j].values;
      for (let i = 0; i < bins; i++) weighted[i] = own[i] * this.weight[i];
      for (let c = 0; c < 3; c++) {
        let dot = 0;
        for (let i = 0, at = c * bins; i < bins; i++, at++) dot += weighted[i] * density[at];
        right[c * n + j] = dot;
      }
      for (let k = 0; k < n; k++) {
        if (changed[k] && k > j) continue;
        const other = columns[k].values;
        let sum = 0;
        for (let i = 0; i < bins; i++) sum += weighted[i] * other[i];
        gram[j * n + k] = sum;
        gram[k * n + j] = sum;
      }
    }
    const products = { columns, gram, right };
    if (count > 1 || n === 1) this.kept = products;
    return products;
  }

  private column(parameters: readonly number[], j: number): Column {
    const shape = this.shape(parameters, j);
    const known = this.known[j].find(
      ({ shape: k }) =>
        k.meanMm === shape.meanMm && k.sdMm === shape.sdMm && k.drag === shape.drag && k.delay === shape.delay,
    );
    if (known) return known;
    const column = { shape, values: new Float64Array(this.data.bins) };
    writeShape(shape, this.data.firstMm, this.data.binMm, column.values);
    this.known[j] = [column, ...this.known[j].slice(0, 3)];
    return column;
  }

  private shape(parameters: readonly number[], j: number): BandShape {
    const at = this.first[j];
    const { tail } = this.start[j];
    return {
      tail,
      meanMm: parameters[at],
      sdMm: Math.exp(parameters[at + 1]),
      drag: tail === 'none' ? 0 : parameters[at + 2],
      delay: tail === 'delayed' ? parameters[at + 3] : 0,
    };
  }
}
