/** A hand writes a line: letters joined where a pen would not lift, rounded, leaning, never twice alike. */
import { FONT, letter } from './letters.ts';
import type { Stroke } from './letters.ts';
import { stream } from './random.ts';
import type { Random } from './random.ts';
import { drawWander, wanderAt } from './smoothNoise.ts';
import type { Wander } from './smoothNoise.ts';

/** One touch of the pen, points about STEP_MM apart, mm of the sheet. */
export interface Pass {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** The pen leaves the paper for longer than between two letters: a pool is left. */
  readonly endsWord: boolean;
}

export const STEP_MM = 0.07;
/** Letters whose ends lie closer than this (font units) are joined without lifting. */
const JOIN_UNITS = 2.6;

export interface Hand {
  /** Extra lean: mm to the right per mm upwards. */
  readonly slant: number;
  readonly wobbleMm: number;
  readonly sizeSd: number;
  readonly driftMm: number;
  readonly widthFactor: number;
}

export function drawHand(seed: number): Hand {
  const random = stream(seed, 'hand');
  return {
    slant: random.range(-0.12, 0.14),
    wobbleMm: random.range(0.05, 0.1),
    sizeSd: random.range(0.025, 0.05),
    driftMm: random.range(0.12, 0.3),
    widthFactor: random.range(0.98, 1.12),
  };
}

export interface LinePlace {
  readonly xMm: number;
  readonly baselineMm: number;
  readonly xHeightMm: number;
}

export function writeLine(text: string, place: LinePlace, hand: Hand, random: Random): Pass[] {
  const unit = place.xHeightMm / FONT.xHeight;
  const wander = {
    x: drawWander(random, 400, 2.4),
    y: drawWander(random, 400, 2.4),
    tremorX: drawWander(random, 400, 0.6),
    tremorY: drawWander(random, 400, 0.6),
    drift: drawWander(random, 400, 22),
  };
  const passes: Pass[] = [];
  let penUnits = 0;
  for (const word of text.split(' ')) {
    const { strokes, width } = wordStrokes(word, hand, random);
    for (const [i, stroke] of strokes.entries()) {
      const shift = penUnits;
      const points = smooth(stroke, unit).map(([x, y]): readonly [number, number] => {
        const along = (x + shift) * unit * hand.widthFactor;
        const up = (FONT.baseline - y) * unit;
        return [
          place.xMm + along + hand.slant * up,
          place.baselineMm - up + hand.driftMm * wanderAt(wander.drift, along),
        ];
      });
      passes.push(tremble(points, hand, wander, i === strokes.length - 1));
    }
    penUnits += width + FONT.space * random.range(0.85, 1.15);
  }
  return passes;
}

/** Width of a line as written, mm, without the hand's variations. */
export function lineWidthMm(text: string, xHeightMm: number, hand: Hand): number {
  const units = text
    .split(' ')
    .reduce(
      (sum, word) => sum + Array.from(word, (ch) => letter(ch).advance).reduce((a, b) => a + b, 0) + FONT.space,
      -FONT.space,
    );
  return (units * xHeightMm * hand.widthFactor) / FONT.xHeight;
}

function wordStrokes(word: string, hand: Hand, random: Random): { strokes: Stroke[]; width: number } {
  const strokes: (readonly [number, number])[][] = [];
  const marks: Stroke[] = [];
  let x = 0;
  let previousEnd: readonly [number, number] | null = null;
  for (const character of word) {
    const shape = letter(character);
    const size = 1 + hand.sizeSd * random.normal();
    const lift = 0.35 * random.normal() * hand.sizeSd * 10;
    const at = (p: readonly [number, number]): readonly [number, number] => [
      x + p[0],
      FONT.baseline + (p[1] - FONT.baseline) * size + lift * 0.3,
    ];
    for (const [i, stroke] of shape.body.entries()) {
      const placed = stroke.map(at);
      const near =
        i === 0 &&
        previousEnd !== null &&
        Math.hypot(placed[0][0] - previousEnd[0], placed[0][1] - previousEnd[1]) < JOIN_UNITS;
      if (near) strokes[strokes.length - 1].push(...placed.slice(1));
      else strokes.push([...placed]);
    }
    for (const mark of shape.marks) marks.push(mark.map(at));
    const last = strokes.at(-1);
    previousEnd = last && /[a-z]/.test(character) ? last[last.length - 1] : null;
    x += shape.advance * (1 + 0.4 * hand.sizeSd * random.normal());
  }
  return { strokes: [...strokes, ...marks], width: x };
}

/** Catmull–Rom through the corners, then a running mean twice: no corner is left. */
function smooth(stroke: Stroke, unit: number): (readonly [number, number])[] {
  const step = STEP_MM / unit;
  const dense: [number, number][] = [];
  for (let i = 0; i + 1 < stroke.length; i++) {
    const p0 = stroke[Math.max(0, i - 1)];
    const p1 = stroke[i];
    const p2 = stroke[i + 1];
    const p3 = stroke[Math.min(stroke.length - 1, i + 2)];
    const pieces = Math.max(1, Math.round(Math.hypot(p2[0] - p1[0], p2[1] - p1[1]) / step));
    for (let k = 0; k < pieces; k++) {
      const t = k / pieces;
      dense.push([catmullRom(p0[0], p1[0], p2[0], p3[0], t), catmullRom(p0[1], p1[1], p2[1], p3[1], t)]);
    }
  }
  dense.push([...stroke[stroke.length - 1]] as [number, number]);
  const reach = Math.round(0.8 / step);
  return runningMean(runningMean(dense, reach), reach);
}

function catmullRom(a: number, b: number, c: number, d: number, t: number): number {
  return 0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + (3 * b - a - 3 * c + d) * t * t * t);
}

/** The window shrinks towards the ends, so these stay where they are. */
function runningMean(points: readonly (readonly [number, number])[], reach: number): [number, number][] {
  return points.map((_, i) => {
    const r = Math.min(reach, i, points.length - 1 - i);
    let x = 0;
    let y = 0;
    for (let k = i - r; k <= i + r; k++) {
      x += points[k][0];
      y += points[k][1];
    }
    return [x / (2 * r + 1), y / (2 * r + 1)];
  });
}

function tremble(
  points: readonly (readonly [number, number])[],
  hand: Hand,
  wander: Record<'x' | 'y' | 'tremorX' | 'tremorY', Wander>,
  endsWord: boolean,
): Pass {
  const x = new Float64Array(points.length);
  const y = new Float64Array(points.length);
  for (const [i, p] of points.entries()) {
    // The wander runs with the place on the line and the time spent there, so neighbours move together.
    const at = Math.max(0, p[0] + 8) + 0.07 * i * STEP_MM;
    x[i] = p[0] + hand.wobbleMm * wanderAt(wander.x, at) + 0.008 * wanderAt(wander.tremorX, at);
    y[i] = p[1] + hand.wobbleMm * wanderAt(wander.y, at) + 0.008 * wanderAt(wander.tremorY, at);
  }
  return { x, y, endsWord };
}
