/** A swab: ink wiped on with a cotton bud, streaky along the wipe, darker at the rim, dry where the bud ran out. */
import type { InkField } from './inkField.ts';
import { stream } from './random.ts';
import type { Random } from './random.ts';
import type { Placement } from './scene.ts';
import { turn } from './scene.ts';
import { drawLattice, drawWander, latticeAt, wanderAt } from './smoothNoise.ts';

export interface SwabPlan {
  /** Where the wipe lies on the sheet, mm of the sheet: left, top, length along the wipe, breadth. */
  readonly boxMm: readonly [x: number, y: number, length: number, breadth: number];
  /** Dose where the wipe starts and where it ends; between them it changes by equal factors. */
  readonly doseFrom: number;
  readonly doseTo: number;
}

export interface SwabHabit {
  readonly streakSd: number;
  readonly slowSd: number;
  readonly rim: number;
  /** Over how many mm before its end the wipe breaks up into streaks. */
  readonly breakUpMm: number;
  /** Where two passes of the bud lie on one another: extra dose. */
  readonly seam: number;
  /** Higher leaves fewer dry streaks. */
  readonly dryAt: number;
}

export function drawSwabHabit(seed: number, name: string): SwabHabit {
  const random = stream(seed, `swab/${name}`);
  return {
    streakSd: random.range(0.03, 0.11),
    slowSd: random.range(0.02, 0.09),
    rim: random.range(0.08, 0.3),
    breakUpMm: random.range(4, 7.5),
    seam: random.range(0.03, 0.2),
    dryAt: random.range(2.2, 2.8),
  };
}

const EDGE_MM = 0.06;
const RIM_MM = 0.22;

/** @param sheet where the sheet lies in the scan. */
export function laySwab(field: InkField, plan: SwabPlan, habit: SwabHabit, sheet: Placement, random: Random): void {
  const [left, top, length, breadth] = plan.boxMm;
  const area = { leftMm: -3, topMm: -breadth, widthMm: length + 6, heightMm: 2 * breadth };
  const streak = drawLattice(random, area, 11, 0.55);
  const hair = drawLattice(random, area, 5, 0.2);
  const slow = drawLattice(random, area, 9, 4);
  const dry = [drawLattice(random, area, 8, 0.3), drawLattice(random, area, 3, 0.16)];
  const ends = [drawWander(random, 4 * breadth, 0.8), drawWander(random, 4 * breadth, 0.3)];
  const sides = [drawWander(random, length + 10, 9), drawWander(random, length + 10, 9)];
  const fuzz = drawLattice(random, area, 0.2, 0.14);
  const seamLine = drawWander(random, length + 10, 12);
  const seamAt = random.range(-0.2, 0.2) * breadth;
  const { cos, sin } = turn(sheet);
  const fineWidth = field.widthPx * field.factor;
  const fineHeight = field.heightPx * field.factor;
  const rise = Math.log(plan.doseTo / plan.doseFrom);
  for (let y = 0; y < fineHeight; y++) {
    const dy = (field.y0Px * field.factor + y + 0.5) / field.finePerMm - sheet.centreMm[1];
    for (let x = 0; x < fineWidth; x++) {
      const dx = (field.x0Px * field.factor + x + 0.5) / field.finePerMm - sheet.centreMm[0];
      const u = cos * dx + sin * dy + sheet.widthMm / 2 - left;
      const v = -sin * dx + cos * dy + sheet.heightMm / 2 - top - breadth / 2;
      if (u < -2 || u > length + 2 || Math.abs(v) > breadth * 0.6 + 1) continue;
      const half = breadth / 2 - 0.5;
      const rough = 0.035 * latticeAt(fuzz, u, v);
      const above = v + half + 0.22 * wanderAt(sides[0], u + 4) + rough;
      const below = half - v + 0.22 * wanderAt(sides[1], u + 4) + rough;
      // The bud is round where it is set down.
      const bow = 2.2 * (1 - Math.sqrt(Math.max(0, 1 - (v / (half + 0.6)) ** 2)));
      const fromStart = u - bow - 0.14 * wanderAt(ends[0], v + breadth) + rough;
      const toEnd = length - u - 0.6 * bow - 0.35 * (1 + wanderAt(ends[1], v + breadth)) + rough;
      // It runs dry along streaks, most of all towards the end.
      const spent = Math.max(0, 1 - toEnd / habit.breakUpMm);
      const dryness =
        0.85 * latticeAt(dry[0], u, v) + 0.5 * latticeAt(dry[1], u, v) + 7 * rough + habit.dryAt - 3 * spent * spent;
      const inside = Math.min(above, below, fromStart, toEnd, 0.2 * dryness);
      if (inside < -EDGE_MM / 2) continue;
      const t = inside >= EDGE_MM / 2 ? 1 : 0.5 + inside / EDGE_MM;
      const rim = 1 + habit.rim * Math.exp(-Math.max(0, Math.min(above, below, fromStart, toEnd)) / RIM_MM);
      const seam = 1 + habit.seam * Math.exp(-0.5 * ((v - seamAt - 0.5 * wanderAt(seamLine, u + 4)) / 0.45) ** 2);
      const noise =
        habit.streakSd * (0.8 * latticeAt(streak, u, v) + 0.5 * latticeAt(hair, u, v)) +
        habit.slowSd * latticeAt(slow, u, v);
      const ramp = Math.exp(rise * Math.min(1, Math.max(0, u / length))) * (1 - 0.2 * spent);
      const cell = y * fineWidth + x;
      field.dose[cell] = t * t * (3 - 2 * t) * rim * seam * plan.doseFrom * ramp * Math.exp(noise);
      field.layers[cell] = 1;
      if (inside > 0) field.interior[cell] = 1;
    }
  }
  erode(field.interior, fineWidth, fineHeight, Math.ceil(0.2 * field.finePerMm));
}

/** Keeps what is at least `reach` cells from any empty cell (square neighbourhood). */
function erode(mask: Uint8Array, width: number, height: number, reach: number): void {
  const pass = (count: number, start: (line: number) => number, step: number, length: number): void => {
    for (let line = 0; line < count; line++) {
      const from = start(line);
      let run = 0;
      const kept = new Uint8Array(length);
      for (let i = 0; i < length; i++) {
        run = mask[from + i * step] ? run + 1 : 0;
        if (run > 2 * reach) kept[i - reach] = 1;
      }
      for (let i = 0; i < length; i++) mask[from + i * step] = kept[i];
    }
  };
  pass(height, (y) => y * width, 1, width);
  pass(width, (x) => x, width, height);
}
