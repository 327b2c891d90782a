/** A nib lays ink along a path: how wide, how much, and how the doses of separate passes add up where they cross. */
import type { Pass } from './hand.ts';
import { STEP_MM } from './hand.ts';
import type { InkField } from './inkField.ts';
import type { StubEdge } from './pagePlan.ts';
import { stream } from './random.ts';
import type { Random } from './random.ts';
import { addLatticeRow, drawLattice, drawWander, wanderAt } from './smoothNoise.ts';

export interface Nib {
  readonly name: string;
  readonly widthMm: number;
  /** Mean dose of a plain stroke. */
  readonly flow: number;
  readonly stub?: StubEdge;
}

/** How an ink and a pen behave on a paper. All invented; drawn per paper. */
export interface PenHabit {
  /** Line over nib, minus 1. */
  readonly spread: number;
  /** Downstrokes carry this share more than sideways ones, upstrokes as much less. */
  readonly downWet: number;
  readonly downWide: number;
  /** Extra dose where the nib touches down and where it leaves. */
  readonly wetStart: number;
  readonly poolEnd: number;
  /** Log-sd of the slow variation of flow. */
  readonly flowSd: number;
  /** Darker rim: relative extra dose just inside the edge. */
  readonly rim: number;
  /** Standard deviation of the edge. */
  readonly roughMm: number;
}

export function drawHabit(seed: number, paper: string): PenHabit {
  const random = stream(seed, `pen/${paper}`);
  // Some inks shade and some do not; an ink does it on every paper.
  const lively = stream(seed, 'pen/lively').range(0.25, 1);
  return {
    spread: random.range(0.02, 0.16),
    downWet: lively * random.range(0.06, 0.2),
    downWide: random.range(0.07, 0.17),
    wetStart: lively * random.range(0.06, 0.25),
    poolEnd: lively * random.range(0.2, 0.6),
    flowSd: lively * random.range(0.05, 0.13),
    rim: random.range(0.02, 0.08),
    roughMm: random.range(0.006, 0.014),
  };
}

/** Width over which the dose falls at a stroke's edge (ink creeps into fibres). */
export const EDGE_MM = 0.05;
const RIM_AT_MM = 0.07;
const RIM_MM = 0.035;
/** Interior starts this far from the edge: 2 px at 300 dpi, more than the blur's 10–90 % width. */
export const INTERIOR_MM = 0.17;
/** Of a thin stroke the inner third counts (the core line). */
const CORE_SHARE = 0.67;

/** Lays all passes into the field. Paths in mm of the scan. */
export function layPasses(field: InkField, passes: readonly Pass[], nib: Nib, habit: PenHabit, random: Random): void {
  const ink = inkAlong(passes, nib, habit, random);
  const stamp = new Stamp(field, habit, random);
  let travelled = 0;
  for (const [n, pass] of passes.entries()) {
    const { half, dose } = ink[n];
    for (let i = 0; i + 1 < pass.x.length; i++) {
      stamp.segment(pass, half, dose, i, travelled);
      travelled += Math.hypot(pass.x[i + 1] - pass.x[i], pass.y[i + 1] - pass.y[i]);
    }
    travelled += 50; // far enough for the next pass to count as another layer
  }
  stamp.finish();
}

interface InkAlong {
  readonly half: Float32Array;
  readonly dose: Float32Array;
}

export function inkAlong(passes: readonly Pass[], nib: Nib, habit: PenHabit, random: Random): InkAlong[] {
  const total = passes.reduce((sum, p) => sum + p.x.length * STEP_MM, 10);
  const slow = drawWander(random, total, 9);
  const quick = drawWander(random, total, 1.8);
  const breadth = drawWander(random, total, 2.5);
  let at = 0;
  return passes.map((pass) => {
    const n = pass.x.length;
    const half = new Float32Array(n);
    const dose = new Float32Array(n);
    const length = n * STEP_MM;
    const start = habit.wetStart * random.logNormal(1, 0.3);
    const pool = habit.poolEnd * random.logNormal(1, 0.3) * (pass.endsWord ? 1 : 0.45);
    const look = 3;
    let down = 0;
    for (let i = 0; i < n; i++) {
      const a = Math.max(0, i - look);
      const b = Math.min(n - 1, i + look);
      const ds = Math.hypot(pass.x[b] - pass.x[a], pass.y[b] - pass.y[a]) || 1;
      const heading = (pass.y[b] - pass.y[a]) / ds;
      down = i === 0 ? heading : down + 0.18 * (heading - down); // the feed answers with a lag
      const s = i * STEP_MM;
      const ends =
        1 + start * Math.exp(-s / 0.7) + pool * Math.exp(-Math.max(0, length - s) / (0.35 + 0.4 * nib.widthMm));
      const across = nib.stub
        ? stubWidth(nib.widthMm, nib.stub, pass.x[b] - pass.x[a], pass.y[b] - pass.y[a])
        : nib.widthMm;
      half[i] = 0.5 * across * (1 + habit.spread) * (1 + habit.downWide * down + 0.03 * wanderAt(breadth, at + s));
      half[i] *= 1 + 0.12 * (ends - 1);
      dose[i] =
        nib.flow *
        (1 + habit.downWet * down) *
        ends *
        Math.exp(habit.flowSd * wanderAt(slow, at + s) + 0.3 * habit.flowSd * wanderAt(quick, at + s));
    }
    at += length;
    return { half, dose };
  });
}

/** Width of an ellipse across the way that it is drawn: its two diameters are the nib's edge and its thin way. */
function stubWidth(edgeMm: number, stub: StubEdge, dx: number, dy: number): number {
  const away = Math.atan2(dy, dx) - (stub.angleDeg * Math.PI) / 180;
  return Math.hypot(edgeMm * Math.sin(away), stub.thinMm * Math.cos(away));
}

/** Works through segments in the order of writing; where the pen comes back after a while, a new layer begins. */
class Stamp {
  private readonly field: InkField;
  private readonly habit: PenHabit;
  private readonly rough: Float32Array;
  /** Per cell, of the layer now being laid: deepest distance inside the edge, dose there, when last touched. */
  private readonly depth: Float32Array;
  private readonly laid: Float32Array;
  private readonly touched: Float64Array;
  /** 1 where the layer now being laid has its interior. */
  private readonly inside: Uint8Array;
  private readonly fineWidth: number;
  private readonly fineHeight: number;

  constructor(field: InkField, habit: PenHabit, random: Random) {
    this.field = field;
    this.habit = habit;
    this.fineWidth = field.widthPx * field.factor;
    this.fineHeight = field.heightPx * field.factor;
    const cells = this.fineWidth * this.fineHeight;
    this.depth = new Float32Array(cells).fill(-1);
    this.laid = new Float32Array(cells);
    this.touched = new Float64Array(cells).fill(-1e9);
    this.inside = new Uint8Array(cells);
    this.rough = new Float32Array(cells);
    const mm = 1 / field.finePerMm;
    const area = { leftMm: 0, topMm: 0, widthMm: this.fineWidth * mm, heightMm: this.fineHeight * mm };
    const coarse = drawLattice(random, area, 0.28);
    const fine = drawLattice(random, area, 0.09);
    for (let y = 0; y < this.fineHeight; y++) {
      const row = this.rough.subarray(y * this.fineWidth, (y + 1) * this.fineWidth);
      addLatticeRow(coarse, (y + 0.5) * mm, 0.5 * mm, mm, 0.7 * habit.roughMm, row);
      addLatticeRow(fine, (y + 0.5) * mm, 0.5 * mm, mm, 0.7 * habit.roughMm, row);
    }
  }

  segment(pass: Pass, half: Float32Array, dose: Float32Array, i: number, travelled: number): void {
    const { field, fineWidth } = this;
    const scale = field.finePerMm;
    const ax = pass.x[i] * scale - field.x0Px * field.factor - 0.5;
    const ay = pass.y[i] * scale - field.y0Px * field.factor - 0.5;
    const bx = pass.x[i + 1] * scale - field.x0Px * field.factor - 0.5;
    const by = pass.y[i + 1] * scale - field.y0Px * field.factor - 0.5;
    const widest = Math.max(half[i], half[i + 1]);
    const reach = (widest + EDGE_MM + 4 * this.habit.roughMm) * scale;
    const x0 = Math.max(0, Math.ceil(Math.min(ax, bx) - reach));
    const x1 = Math.min(fineWidth - 1, Math.floor(Math.max(ax, bx) + reach));
    const y0 = Math.max(0, Math.ceil(Math.min(ay, by) - reach));
    const y1 = Math.min(this.fineHeight - 1, Math.floor(Math.max(ay, by) + reach));
    const dx = bx - ax;
    const dy = by - ay;
    const length2 = dx * dx + dy * dy || 1e-12;
    const apart = 4 * widest;
    const reach2 = reach * reach;
    for (let y = y0; y <= y1; y++) {
      for (let x = x0; x <= x1; x++) {
        let t = ((x - ax) * dx + (y - ay) * dy) / length2;
        t = t < 0 ? 0 : t > 1 ? 1 : t;
        const ox = x - ax - t * dx;
        const oy = y - ay - t * dy;
        const d2 = ox * ox + oy * oy;
        if (d2 > reach2) continue;
        const cell = y * fineWidth + x;
        const h = half[i] + t * (half[i + 1] - half[i]);
        const inside = h + this.rough[cell] - Math.sqrt(d2) / scale;
        if (inside < -EDGE_MM / 2) continue;
        if (inside >= 0 && field.covered) field.covered[cell] = 1;
        const since = travelled - this.touched[cell];
        if (since > apart) this.commit(cell, since < 3 * apart ? soft((since - apart) / (2 * apart)) : 1);
        this.touched[cell] = travelled;
        if (inside <= this.depth[cell]) continue;
        this.depth[cell] = inside;
        const rise = inside >= EDGE_MM / 2 ? 1 : 0.5 + inside / EDGE_MM;
        const cover = soft(rise);
        const rim = 1 + this.habit.rim * Math.exp(-(((inside - RIM_AT_MM) / RIM_MM) ** 2));
        this.laid[cell] = cover * rim * (dose[i] + t * (dose[i + 1] - dose[i]));
        if (inside > Math.min(INTERIOR_MM, CORE_SHARE * h)) {
          field.interior[cell] = 1;
          this.inside[cell] = 1;
        }
      }
    }
  }

  /** @param share what of the older ink stays: a pen that turns on the spot moves wet ink along rather than doubling it. */
  private commit(cell: number, share: number): void {
    if (this.depth[cell] <= -1) return;
    this.field.dose[cell] += share * this.laid[cell];
    // Even a pass whose soft edge only brushes a cell makes it one of two layers: its dose is no longer one pass's.
    this.field.layers[cell]++;
    if (this.field.within) this.field.within[cell] += this.inside[cell];
    this.inside[cell] = 0;
    this.depth[cell] = -1;
    this.laid[cell] = 0;
  }

  finish(): void {
    for (let cell = 0; cell < this.depth.length; cell++) this.commit(cell, 1);
  }
}

/** Smooth step over 0..1. */
export function soft(t: number): number {
  return t * t * (3 - 2 * t);
}
