/**
 * A dye carried up a wet strip. The clock is the liquid's own path, so no speed is needed: each step the liquid moves one
 * cell, dye in it goes along, spreads a little and is exchanged with the fibres. Fibres hold scarce dye harder than
 * plentiful dye (Langmuir), and exchange takes path, so bands get tails as on real strips; nothing is a sum of bells.
 */

export const CELL_MM = 0.1;
/** Liquid starts this far below the origin. */
const BELOW_MM = 5;

export interface Run {
  /** From the origin to where the liquid's front stopped. */
  readonly frontMm: number;
  /** Breadth of the spot along the strip. */
  readonly spotMm: number;
  /** Spreading of the moving liquid, mm (variance per path over two). */
  readonly dispersionMm: number;
}

export interface DyeHabit {
  /** R_F of scarce dye, 0..1. */
  readonly mobility: number;
  /** Release from the fibres per mm of path; smaller makes broader bands with longer tails. */
  readonly releasePerMm: number;
  /** Dose at which half the fibres' places are taken. */
  readonly halfFull: number;
  /** Total dose in the spot, dose·mm. */
  readonly load: number;
  /** Share of it that never leaves. */
  readonly bound: number;
}

export interface Profile {
  /** Position of the first value, mm above the origin; step CELL_MM. */
  readonly fromMm: number;
  readonly moved: Float64Array;
  readonly bound: Float64Array;
}

export function runDye(run: Run, dye: DyeHabit): Profile {
  const cells = Math.round((BELOW_MM + run.frontMm + 4) / CELL_MM);
  const spot = spotShape(cells, run.spotMm);
  const bound = spot.map((v) => v * dye.load * dye.bound);
  let inLiquid = new Float64Array(cells);
  const onFibres = spot.map((v) => v * dye.load * (1 - dye.bound));
  const steps = Math.round((BELOW_MM + run.frontMm) / CELL_MM);
  const catchPerMm = (dye.releasePerMm * (1 - dye.mobility)) / dye.mobility;
  const inner = Math.ceil(run.dispersionMm / CELL_MM / 0.4);
  const mixing = run.dispersionMm / CELL_MM / inner;
  for (let front = 1; front <= steps; front++) {
    const next = new Float64Array(cells);
    next.set(inLiquid.subarray(0, front), 1);
    inLiquid = next;
    for (let i = 0; i <= front; i++) {
      const both = inLiquid[i] + onFibres[i];
      if (both < 1e-12) continue;
      const taken = catchPerMm / (1 + onFibres[i] / dye.halfFull);
      const rate = dye.releasePerMm + taken;
      const balance = (dye.releasePerMm / rate) * both;
      const left = balance + (inLiquid[i] - balance) * Math.exp(-rate * CELL_MM);
      inLiquid[i] = left;
      onFibres[i] = both - left;
    }
    for (let k = 0; k < inner; k++) spread(inLiquid, front, mixing);
  }
  return { fromMm: -BELOW_MM, moved: onFibres.map((v, i) => v + inLiquid[i]), bound };
}

/** Explicit diffusion in the wet part; nothing passes the front. `mixing` below 0.5 is stable. */
function spread(values: Float64Array, front: number, mixing: number): void {
  let before = values[0];
  for (let i = 0; i <= front; i++) {
    const here = values[i];
    const after = i < front ? values[i + 1] : here;
    values[i] = here + mixing * (before - 2 * here + after);
    before = here;
  }
}

/** A spot with soft ends, integral 1 mm⁻¹·mm. */
function spotShape(cells: number, breadthMm: number): Float64Array {
  const shape = Float64Array.from({ length: cells }, (_, i) => {
    const x = Math.abs(-BELOW_MM + i * CELL_MM) / (breadthMm / 2);
    return Math.exp(-0.5 * x ** 4);
  });
  const sum = shape.reduce((a, b) => a + b, 0) * CELL_MM;
  return shape.map((v) => v / sum);
}
