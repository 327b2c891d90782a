/** Cube root by table, for whole pages: several times as fast as Math.cbrt, within 1.8e-6 of it relative to the result (2e-4 of an L*). */

const STEPS = 8192;
const TOP = 2;
const table = new Float64Array(STEPS + 2);
for (let i = 0; i < table.length; i++) table[i] = Math.cbrt((i * TOP) / STEPS);
/** Below this a straight piece of the table bends too much; there the argument is moved up by 64, whose root is 4. */
const BEND = TOP / 64;

/** For x ≥ 0. */
export function cubeRoot(x: number): number {
  if (x < BEND) {
    if (x < BEND / 64) return Math.cbrt(x);
    return interpolated(64 * x) / 4;
  }
  return x < TOP ? interpolated(x) : Math.cbrt(x);
}

function interpolated(x: number): number {
  const at = x * (STEPS / TOP);
  const cell = at | 0;
  return table[cell] + (at - cell) * (table[cell + 1] - table[cell]);
}
