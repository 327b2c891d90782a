/** Lines drawn or left across a strip: the pencil line at the origin, the tideline or a pencil tick at the front. They are not bands. */

export interface Mark {
  /** Bins, [from, to). */
  readonly from: number;
  readonly to: number;
  /** Centroid, bins. */
  readonly centre: number;
  /** Its darkest place, bins: where a tideline's liquid stopped. */
  readonly crest: number;
  /** Density at its darkest, three channels summed. */
  readonly strength: number;
  /** From the darkest place to half of that, towards the run's start and away from it, bins. */
  readonly halves: readonly [behind: number, ahead: number];
  /** Of paper's own colour, as liquid gathers it, rather than a pencil's grey. */
  readonly brown: boolean;
}

const MARK_SIGMAS = 5;
/** A fine line's foot is lost in noise, or is the little that a bin has of it: so much more belongs to it on either side. */
const FOOT_BINS = 1;
/** No paper is smoother; a flat picture has no lines. */
const LEAST_SIGMA = 1e-4;

/**
 * Short stretches where bare paper is darker than its pattern explains.
 * @param rest density of bare paper above its own slow change, planar.
 */
export function marksIn(rest: Float64Array, bins: number, binMm: number, longestMm: number): Mark[] {
  const grey = Float64Array.from({ length: bins }, (_, i) => rest[i] + rest[bins + i] + rest[2 * bins + i]);
  const sigma = Math.max(LEAST_SIGMA, 1.4826 * (grey.map(Math.abs).toSorted()[bins >> 1] ?? 0));
  const found: Mark[] = [];
  for (let i = 0; i < bins; i++) {
    if (grey[i] < MARK_SIGMAS * sigma) continue;
    let crest = i;
    while (crest + 1 < bins && grey[crest + 1] > grey[crest]) crest++;
    const foot = Math.max(1.5 * sigma, 0.1 * grey[crest]);
    let from = crest;
    while (from > 0 && grey[from - 1] > foot) from--;
    let to = crest + 1;
    while (to < bins && grey[to] > foot) to++;
    if ((to - from) * binMm <= longestMm) {
      const off = parabolaTop(grey, crest);
      found.push({
        from: Math.max(0, from - FOOT_BINS),
        to: Math.min(bins, to + FOOT_BINS),
        centre: centroid(grey, from, to),
        crest: crest + off,
        strength: grey[crest],
        halves: [halfWidth(grey, crest, -1) + off, halfWidth(grey, crest, 1) - off],
        brown: sumOf(rest, 2 * bins, from, to) > BROWN * sumOf(rest, 0, from, to),
      });
    }
    i = to;
  }
  return found;
}

/** Density for short waves over that for long ones, of what water carries out of paper; grey has 1 (common practice, no source). */
const BROWN = 1.4;

/** How far from a crest the values fall to half of it, by straight lines between bins. */
function halfWidth(values: Float64Array, crest: number, way: 1 | -1): number {
  const half = values[crest] / 2;
  let i = crest;
  while (i + way >= 0 && i + way < values.length && values[i + way] > half) i += way;
  const next = values[i + way] ?? 0;
  return Math.abs(i - crest) + (values[i] - half) / Math.max(1e-12, values[i] - next);
}

/** Place of the top of the parabola through three neighbours, −0.5..0.5 from the middle one. */
function parabolaTop(values: Float64Array, at: number): number {
  if (at < 1 || at + 1 >= values.length) return 0;
  const [a, b, c] = [values[at - 1], values[at], values[at + 1]];
  const bend = a - 2 * b + c;
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (a - c)) / bend)) : 0;
}

function centroid(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  let moment = 0;
  for (let i = from; i < to; i++) {
    sum += values[i];
    moment += values[i] * i;
  }
  return moment / sum;
}

/** Density of the marks alone, planar; `rest` is emptied there. */
export function takeMarks(rest: Float64Array, bins: number, marks: readonly Mark[]): Float64Array {
  const taken = new Float64Array(3 * bins);
  for (const { from, to } of marks) {
    for (let c = 0; c < 3; c++) {
      for (let i = c * bins + from; i < c * bins + to; i++) {
        taken[i] = rest[i];
        rest[i] = 0;
      }
    }
  }
  return taken;
}

/**
 * How much of a mark is in the lane too, 0..1: some draw the pencil line only beside the spot. Told by colour where the lane's own colour
 * differs from the mark's, else by its narrow shape.
 * @param density the lane's, marks still in it, planar. @param taken the marks beside the lane, planar.
 */
export function shareInLane(
  mark: Mark,
  density: Float64Array,
  taken: Float64Array,
  bins: number,
  binMm: number,
): number {
  const reach = Math.max(3, Math.round(1.4 / binMm));
  const from = Math.max(0, mark.from - reach);
  const to = Math.min(bins, mark.to + reach);
  const own = vector((c) => sumOf(taken, c * bins, from, to));
  const around = vector((c) => sumOf(density, c * bins, from, mark.from) + sumOf(density, c * bins, mark.to, to));
  const apart = orthogonal(own, around);
  const read = apart.sine > 0.25 ? apart.direction : unit(own);
  const degree = apart.sine > 0.25 ? 1 : 2;
  const project = (values: Float64Array): number[] =>
    Array.from({ length: to - from }, (_, i) =>
      [0, 1, 2].reduce((sum, c) => sum + read[c] * values[c * bins + from + i], 0),
    );
  const line = withoutPolynomial(project(taken), degree);
  const lane = withoutPolynomial(project(density), degree);
  const square = line.reduce((sum, v) => sum + v * v, 0);
  return square === 0 ? 0 : Math.min(1, Math.max(0, line.reduce((sum, v, i) => sum + v * lane[i], 0) / square));
}

/** What a mark taken off errs by, share of its density. */
const TAKEN_ERROR = 0.15;
/** A tideline wanders: in the lane it may lie this far from where it lies beside it, mm, and leave this share of itself behind. */
const TIDE_REACH_MM = 1.3;
const TIDE_ERROR = 0.4;

/** Density that marks may have left in the lane, or taken from it, planar; `frontMm` is where a tideline may be. */
export function markError(
  marks: readonly Mark[],
  taken: Float64Array,
  frontMm: number,
  place: { readonly bins: number; readonly firstMm: number; readonly binMm: number },
): Float64Array {
  const { bins, firstMm, binMm } = place;
  const error = taken.map((v) => TAKEN_ERROR * v);
  for (const mark of marks) {
    if (Math.abs(firstMm + mark.centre * binMm - frontMm) > 2 * TIDE_REACH_MM) continue;
    const from = Math.max(0, mark.from - Math.round(TIDE_REACH_MM / binMm));
    const to = Math.min(bins, mark.to + Math.round(TIDE_REACH_MM / binMm));
    for (let c = 0; c < 3; c++) {
      const top = Math.max(...taken.subarray(c * bins + mark.from, c * bins + mark.to));
      for (let i = c * bins + from; i < c * bins + to; i++) error[i] = Math.max(error[i], TIDE_ERROR * top);
    }
  }
  return error;
}

type Vector = readonly [number, number, number];

function vector(of: (c: number) => number): Vector {
  return [of(0), of(1), of(2)];
}

function sumOf(values: Float64Array, offset: number, from: number, to: number): number {
  let sum = 0;
  for (let i = offset + from; i < offset + to; i++) sum += values[i];
  return sum;
}

function unit(v: Vector): Vector {
  const length = Math.hypot(...v) || 1;
  return [v[0] / length, v[1] / length, v[2] / length];
}

/** The direction of `own` that `other` has nothing of, and the sine of the angle between them. */
function orthogonal(own: Vector, other: Vector): { direction: Vector; sine: number } {
  const [u, d] = [unit(own), unit(other)];
  const along = u[0] * d[0] + u[1] * d[1] + u[2] * d[2];
  const across: Vector = [u[0] - along * d[0], u[1] - along * d[1], u[2] - along * d[2]];
  return { direction: unit(across), sine: Math.hypot(...across) };
}

/** What a polynomial (degree 1 or 2) in the index leaves, by Gram–Schmidt. */
function withoutPolynomial(values: readonly number[], degree: number): number[] {
  const n = values.length;
  const basis: number[][] = [];
  for (let k = 0; k <= degree; k++) {
    let power = values.map((_, i) => ((2 * i) / Math.max(1, n - 1) - 1) ** k);
    for (const b of basis) power = minus(power, b);
    const length = Math.hypot(...power) || 1;
    basis.push(power.map((v) => v / length));
  }
  return basis.reduce(minus, [...values]);
}

function minus(values: readonly number[], direction: readonly number[]): number[] {
  const dot = values.reduce((sum, v, i) => sum + v * direction[i], 0);
  return values.map((v, i) => v - dot * direction[i]);
}
