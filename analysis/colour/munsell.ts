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

  const ring = new Ring(value, angle);
  let inner = 0;
  let outer = CHROMA_LIMIT;
  for (let step = 0; step < 30; step++) {
    const chroma = (inner + outer) / 2;
    ring.cross(chroma);
    if (ring.radius < radius) inner = chroma;
    else outer = chroma;
  }
  const chroma = (inner + outer) / 2;
  ring.cross(chroma);
  return { hue: ring.hue, value, chroma: chroma * Math.min(1, value) };
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

/** Where the rings of one value cross a direction from the white. A name asks some hundred of them: nothing is made for any of them. */
class Ring {
  /** Of the last crossing: at what hue, and how far out. */
  hue = 0;
  radius = 0;
  private readonly low: number;
  private readonly part: number;
  private readonly direction: number;
  /** Between which hue lines the last one lay: the next is near it. */
  private last = 1;
  /** Of the last point. */
  private angle = 0;
  private away = 0;

  constructor(value: number, direction: number) {
    const V = Math.min(9, Math.max(1, value));
    const below = Math.min(8, Math.floor(V));
    this.low = (below - 1) * HUES;
    this.part = V - below;
    this.direction = direction;
  }

  cross(chroma: number): void {
    if (this.crossesAt(chroma, this.last)) return;
    let nearest = 0;
    let gap = Infinity;
    for (let k = 1; k <= HUES; k++) {
      if (this.crossesAt(chroma, k)) return;
      // Of the line after the part that was just looked at.
      const away = Math.abs(turn(this.angle, this.direction));
      if (away < gap) {
        gap = away;
        nearest = k;
      }
    }
    this.point(chroma, nearest);
    this.hue = (nearest % HUES) * HUE_STEP;
    this.radius = this.away;
  }

  /** Whether it lies between the lines k − 1 and k; it is taken then. */
  private crossesAt(chroma: number, k: number): boolean {
    this.point(chroma, k - 1);
    const { angle, away } = this;
    this.point(chroma, k);
    const arc = turn(angle, this.angle); // negative: Munsell hues run clockwise in x, y
    const part = turn(angle, this.direction) / arc;
    if (!(part >= 0 && part < 1 && Math.abs(arc) < Math.PI / 2)) return false;
    this.hue = (k - 1 + part) * HUE_STEP;
    this.radius = away + part * (this.away - away);
    this.last = k;
    return true;
  }

  /** The colour of one hue line on the ring, seen from the white. */
  private point(chroma: number, hueIndex: number): void {
    const low = locusOf(this.low + (hueIndex % HUES));
    const high = locusOf(this.low + HUES + (hueIndex % HUES));
    const { part } = this;
    const x = along(low, chroma, 0) * (1 - part) + along(high, chroma, 0) * part;
    const y = along(low, chroma, 1) * (1 - part) + along(high, chroma, 1) * part;
    this.angle = Math.atan2(y, x);
    this.away = Math.hypot(x, y);
  }
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
