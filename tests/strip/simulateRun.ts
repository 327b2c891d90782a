/**
 * A strip run in numbers: dyes carried along paper by an advancing liquid, with dispersion and sorption. It knows nothing of the
 * fit's shapes, so it can judge them.
 *
 * Everything is told by the front's travel z (mm) instead of time. Behind the front all liquid moves together, so a step of one cell
 * in z shifts the dissolved dye by exactly one cell: advection costs no numerical diffusion. Then the dissolved dye disperses, then it
 * shares itself between liquid and paper: at once (linear or Langmuir isotherm) and, on slow sites, by first-order exchange.
 *   ∂(m + s)/∂z = −∂m/∂x + α ∂²m/∂x²,   s = s(m) at equilibrium (+ slow sites ds/dz = ka·m − kd·s)
 */

export interface Dye {
  /** Share of the dye that is dissolved at equilibrium and low dose: without tailing, its R_F. 0..1. */
  readonly mobile: number;
  /** Dose: area under its concentration, mm (a band 1 mm wide of concentration 1). */
  readonly dose: number;
  /** Share of the dose that drying has fixed to the paper for good, 0..1. */
  readonly fixed: number;
  /** Concentration at which the paper's places fill up (Langmuir); left out: linear. Small means a strong tail. */
  readonly capacity?: number;
  /** Slow sites: rates per mm of front travel. Left out: none. */
  readonly slow?: { readonly on: number; readonly off: number };
}

export interface RunPlan {
  /** Distance that the front travels beyond the origin, mm. */
  readonly runMm: number;
  /** Width of the spot at the origin, mm, and how round its flanks are: 0 a box, 1 a bell. */
  readonly spotMm: number;
  readonly dispersivityMm: number;
  /** @default 0.1 */
  readonly stepMm?: number;
}

/** One dye's concentration along the strip after the run; what stayed at the origin is kept apart. */
export interface DyeRun {
  readonly moved: Float64Array;
  readonly fixed: Float64Array;
}

export interface RunResult {
  readonly stepMm: number;
  /** Cell i lies at fromMm + (i + 0.5)·stepMm, measured from the origin in the direction of travel. */
  readonly fromMm: number;
  readonly dyes: readonly DyeRun[];
}

const MARGIN_MM = 10;

export function simulateRun(dyes: readonly Dye[], plan: RunPlan): RunResult {
  const stepMm = plan.stepMm ?? 0.1;
  const cells = Math.round((plan.runMm + 2 * MARGIN_MM) / stepMm);
  const origin = Math.round(MARGIN_MM / stepMm);
  const spot = new Float64Array(cells);
  let area = 0;
  for (let i = 0; i < cells; i++) {
    const t = Math.abs(((i + 0.5 - origin) * stepMm) / (plan.spotMm / 2));
    spot[i] = 1 / (1 + t ** 8);
    if (t > 2) spot[i] = 0;
    area += spot[i] * stepMm;
  }
  for (let i = 0; i < cells; i++) spot[i] /= area;
  return { stepMm, fromMm: -MARGIN_MM, dyes: dyes.map((dye) => runDye(dye, spot, origin, plan, stepMm)) };
}

function runDye(dye: Dye, spot: Float64Array, origin: number, plan: RunPlan, stepMm: number): DyeRun {
  const fixed = spot.map((v) => v * dye.dose * dye.fixed);
  const total = spot.map((v) => v * dye.dose * (1 - dye.fixed)); // equilibrium part: liquid + fast places
  const slow = new Float64Array(total.length);
  const liquid = new Float64Array(total.length);
  const passes = Math.max(1, Math.ceil((2.5 * plan.dispersivityMm) / stepMm));
  const spread = plan.dispersivityMm / stepMm / passes;
  const start = origin - Math.round(plan.spotMm / stepMm);
  const steps = Math.round(plan.runMm / stepMm) + origin - start;
  for (let step = 1; step <= steps; step++) {
    const front = start + step; // cells below it are wet
    for (let i = front - 1; i >= 0; i--) liquid[i] = dissolved(total[i], dye);
    // Advection: the liquid of each wet cell moves one cell on, into the freshly wet one too.
    for (let i = 0; i < front; i++) total[i] -= liquid[i];
    for (let i = front; i >= 1; i--) liquid[i] = liquid[i - 1];
    liquid[0] = 0;
    for (let pass = 0; pass < passes; pass++) disperse(liquid, front, spread);
    for (let i = 0; i <= front; i++) total[i] += liquid[i];
    if (dye.slow) exchange(total, slow, liquid, front, dye, stepMm);
  }
  for (let i = 0; i < total.length; i++) total[i] += slow[i];
  return { moved: total, fixed };
}

/** Dissolved part of a cell's fast content n: linear m = n·R; Langmuir n = m + c·k·m/(1 + k'·m) with k = (1 − R)/R. */
function dissolved(n: number, dye: Dye): number {
  if (n <= 0) return 0;
  if (dye.capacity === undefined) return n * dye.mobile;
  const k = (1 - dye.mobile) / dye.mobile;
  const c = dye.capacity;
  // n = m + k·m/(1 + k·m/c)  →  (k/c)·m² + (1 + k − n·k/c)·m − n = 0
  const a = k / c;
  const b = 1 + k - n * a;
  return a === 0 ? n / b : (-b + Math.sqrt(b * b + 4 * a * n)) / (2 * a);
}

/** One explicit step of dispersion in the wet cells 0..front; nothing crosses the front. */
function disperse(liquid: Float64Array, front: number, spread: number): void {
  let flowIn = 0;
  for (let i = 0; i <= front; i++) {
    const flowOut = i < front ? spread * (liquid[i] - liquid[i + 1]) : 0;
    liquid[i] += flowIn - flowOut;
    flowIn = flowOut;
  }
}

function exchange(
  total: Float64Array,
  slow: Float64Array,
  liquid: Float64Array,
  front: number,
  dye: Dye,
  stepMm: number,
): void {
  const { on, off } = dye.slow!;
  for (let i = 0; i <= front; i++) {
    const moved = Math.min(total[i], stepMm * (on * liquid[i] - off * slow[i]));
    total[i] -= moved;
    slow[i] += moved;
  }
}

/** Place of the highest cell, refined by a parabola, mm from the origin. */
export function apexMm(profile: Float64Array, run: RunResult): number {
  let best = 1;
  for (let i = 2; i < profile.length - 1; i++) if (profile[i] > profile[best]) best = i;
  const [a, b, c] = [profile[best - 1], profile[best], profile[best + 1]];
  const shift = a - 2 * b + c === 0 ? 0 : (0.5 * (a - c)) / (a - 2 * b + c);
  return run.fromMm + (best + 0.5 + shift) * run.stepMm;
}

/** Full width at a share of the height, mm, by straight lines between cells. */
export function widthMm(profile: Float64Array, stepMm: number, share = 0.5): number {
  let best = 0;
  for (let i = 1; i < profile.length; i++) if (profile[i] > profile[best]) best = i;
  const level = profile[best] * share;
  let left = best;
  while (left > 0 && profile[left - 1] > level) left--;
  let right = best;
  while (right < profile.length - 1 && profile[right + 1] > level) right++;
  const cut = (inside: number, outside: number): number =>
    (profile[inside] - level) / Math.max(1e-12, profile[inside] - profile[outside]);
  return (
    (right + cut(right, Math.min(profile.length - 1, right + 1)) - left + cut(left, Math.max(0, left - 1))) * stepMm
  );
}

/** Width at the base between the tangents at the steepest places of both flanks (IUPAC; Ettre 1993), of what stands above a twentieth of the top. */
export function baseMm(profile: Float64Array, stepMm: number): number {
  let best = 0;
  for (let i = 1; i < profile.length; i++) if (profile[i] > profile[best]) best = i;
  const foot = (way: 1 | -1): number => {
    let steepest = 0;
    let at = 0;
    for (let i = best; profile[i + way] > 0.05 * profile[best]; i += way) {
      const slope = profile[i] - profile[i + way];
      if (slope <= steepest) continue;
      steepest = slope;
      at = Math.abs(i - best) + 0.5 + (profile[i] + profile[i + way]) / 2 / slope;
    }
    return at;
  };
  return (foot(-1) + foot(1)) * stepMm;
}
