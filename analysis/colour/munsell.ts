/** From XYZ under illuminant C to Munsell hue, value and chroma, by interpolating the renotation of 1943. */
import { RENOTATION } from './munsellRenotation.ts';
import type { Xyz } from './lab.ts';

export interface Munsell {
  /** 0..100: R from 0, YR 10, Y 20, GY 30, G 40, BG 50, B 60, PB 70, P 80, RP 90 (so 5PB is 75). Means nothing at chroma 0. */
  readonly hue: number;
  /** 0..10 */
  readonly value: number;
  /** ≥ 0, open-ended */
  readonly chroma: number;
}

/** Illuminant C, 2° observer. Source: CIE 15:2018; ASTM E308, Table 5. */
export const ILLUMINANT_C: Xyz = [0.98074, 1, 1.18232];

const HUES = 40;
const HUE_STEP = 100 / HUES;
/** Far outside every real surface; only keeps the search finite. */
const CHROMA_LIMIT = 60;
const WHITE_X = ILLUMINANT_C[0] / (ILLUMINANT_C[0] + ILLUMINANT_C[1] + ILLUMINANT_C[2]);
const WHITE_Y = ILLUMINANT_C[1] / (ILLUMINANT_C[0] + ILLUMINANT_C[1] + ILLUMINANT_C[2]);

/** Read when they are asked for: what loads this file seldom names a colour. */
const lociRead: (readonly number[] | undefined)[] = [];

/** Of a line of the table, one per value (1..9) and hue: x, y at chroma 2, 4, 6 … as offsets from the white. */
function locusOf(line: number): readonly number[] {
  return (lociRead[line] ??= RENOTATION[line]
    .split(' ')
    .map((digits, i) => Number(digits) / 10000 - (i % 2 === 0 ? WHITE_X : WHITE_Y)));
}

interface Polar {
  readonly angle: number;
  readonly radius: number;
}

/**
 * Munsell notation of a colour under illuminant C, Y = 1 for the perfect diffuser.
 * Hue and chroma are found in the plane of the colour's own value: straight lines in x, y between values and between chromas,
 * angle and radius about the white between hues. Beyond the published gamut the last two chromas are extended; above value 9
 * and below 1 the chromaticities of the nearest published value serve, and below 1 the chroma so found shrinks with the value,
 * since the chromaticity of next to no light says next to nothing (our choice). Never throws.
 */
export function xyzToMunsell(xyz: Xyz): Munsell {
  const value = munsellValue(xyz[1]);
  const sum = xyz[0] + xyz[1] + xyz[2];
  if (!(sum > 1e-6)) return { hue: 0, value, chroma: 0 };
  const dx = xyz[0] / sum - WHITE_X;
  const dy = xyz[1] / sum - WHITE_Y;
  const radius = Math.hypot(dx, dy);
  if (radius < 1e-9) return { hue: 0, value, chroma: 0 };
  const angle = Math.atan2(dy, dx);

  let inner = 0;
  let outer = CHROMA_LIMIT;
  for (let step = 0; step < 30; step++) {
    const chroma = (inner + outer) / 2;
    if (hueAt(value, chroma, angle).radius < radius) inner = chroma;
    else outer = chroma;
  }
  const chroma = (inner + outer) / 2;
  return { hue: hueAt(value, chroma, angle).hue, value, chroma: chroma * Math.min(1, value) };
}

/**
 * Munsell value 0..10 of a luminance factor (1 for the perfect diffuser).
 * Source: the quintic of the renotation, as scaled by ASTM D1535 to the perfect diffuser (0.975 of the 1943 scale, on which
 * magnesium oxide is 100 and value 10 lies at 102.57).
 */
export function munsellValue(Y: number): number {
  let below = 0;
  let above = 10;
  for (let step = 0; step < 40; step++) {
    const V = (below + above) / 2;
    const percent = V * (1.1914 + V * (-0.22533 + V * (0.23352 + V * (-0.020484 + V * 0.00081939))));
    if (percent < 100 * Y) below = V;
    else above = V;
  }
  return (below + above) / 2;
}

/** Where the ring of one value and chroma crosses a direction from the white: at what hue, and how far out. */
function hueAt(value: number, chroma: number, angle: number): { readonly hue: number; readonly radius: number } {
  let from = ringPoint(value, chroma, 0);
  let nearest = { hue: 0, radius: from.radius };
  let gap = Math.abs(turn(from.angle, angle));
  for (let k = 1; k <= HUES; k++) {
    const to = ringPoint(value, chroma, k % HUES);
    const arc = turn(from.angle, to.angle); // negative: Munsell hues run clockwise in x, y
    const part = turn(from.angle, angle) / arc;
    if (part >= 0 && part < 1 && Math.abs(arc) < Math.PI / 2) {
      return { hue: (k - 1 + part) * HUE_STEP, radius: from.radius + part * (to.radius - from.radius) };
    }
    const away = Math.abs(turn(to.angle, angle));
    if (away < gap) {
      gap = away;
      nearest = { hue: (k % HUES) * HUE_STEP, radius: to.radius };
    }
    from = to;
  }
  return nearest;
}

/** The colour of one hue line on the ring, seen from the white. */
function ringPoint(value: number, chroma: number, hueIndex: number): Polar {
  const V = Math.min(9, Math.max(1, value));
  const below = Math.min(8, Math.floor(V));
  const low = locusOf((below - 1) * HUES + hueIndex);
  const high = locusOf(below * HUES + hueIndex);
  const part = V - below;
  const x = along(low, chroma, 0) * (1 - part) + along(high, chroma, 0) * part;
  const y = along(low, chroma, 1) * (1 - part) + along(high, chroma, 1) * part;
  return { angle: Math.atan2(y, x), radius: Math.hypot(x, y) };
}

/** x (axis 0) or y (axis 1) along one hue line; the white is its point of chroma 0. */
function along(locus: readonly number[], chroma: number, axis: 0 | 1): number {
  const last = locus.length / 2;
  const at = chroma / 2;
  const cell = Math.min(last - 1, Math.floor(at));
  const start = cell === 0 ? 0 : locus[2 * (cell - 1) + axis];
  return start + (at - cell) * (locus[2 * cell + axis] - start);
}

/** Signed angle from one direction to another, −π..π. */
function turn(from: number, to: number): number {
  const difference = to - from;
  if (difference > Math.PI) return difference - 2 * Math.PI;
  return difference < -Math.PI ? difference + 2 * Math.PI : difference;
}
