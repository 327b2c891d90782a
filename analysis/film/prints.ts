/**
 * What a target may be printed with: three dyes in continuous tone or in dots, or five inks and a black in tone. Each is a model with a few unknown
 * properties, unit normals; ranges are choices, no source: about what photographic papers and prints are made of.
 */
import type { Xyz } from '../colour/lab.ts';
import { GRID, WAVELENGTHS_NM } from './grid.ts';
import { movedOnto } from './patchSpectra.ts';

const COUNT = GRID.count;

/** Continuous tone (Bouguer's law) and dots (Yule & Nielsen 1951) of three dyes; 'inks': five and a black. */
export const PRINTINGS = ['tone', 'dots', 'inks'] as const;
export type Printing = (typeof PRINTINGS)[number];

export interface Print {
  /** How many amounts it takes; of inks with a black that is the last. */
  readonly amounts: number;
  readonly most: number;
  /** Fills the reflectance. */
  readonly reflect: (amounts: ArrayLike<number>, out: Float64Array) => void;
  /** Slopes of what `reflect` filled last: by an amount, and by a property of the print. */
  readonly byAmount: (n: number, out: Float64Array) => void;
  readonly byProperty: (j: number, out: Float64Array) => void;
}

type Range = readonly [number, number];

interface DyeRange {
  readonly peakNm: Range;
  /** Standard deviation of the long side; the short one is a tenth wider. */
  readonly widthNm: Range;
}
const THREE: readonly DyeRange[] = [
  { peakNm: [622, 680], widthNm: [34, 62] },
  { peakNm: [524, 560], widthNm: [24, 44] },
  { peakNm: [426, 462], widthNm: [25, 46] },
];
const FIVE: readonly DyeRange[] = [
  ...THREE,
  { peakNm: [478, 508], widthNm: [24, 46] },
  { peakNm: [572, 602], widthNm: [24, 46] },
];
const MOST_IN_TONE = 7;
/** Of a unit normal, for slopes. */
const STEP = 0.02;
const DARKEST_ROOT = 1e-4;

const PER_DYE = 6;
const OF_THE_BASE = 3;
const OF_THREE = THREE.length * PER_DYE + OF_THE_BASE;
/** How many properties of a print are unknown. */
export const PROPERTIES: Readonly<Record<Printing, number>> = {
  tone: OF_THREE,
  dots: OF_THREE + 4,
  inks: FIVE.length * PER_DYE + OF_THE_BASE + 2,
};

/** @param white XYZ of the palest patch @param z unit normals, as many as there are properties */
export function printOf(printing: Printing, white: Xyz, z: Float64Array): Print {
  const here = partsOf(printing, white, z, null);
  const moved = Array.from(z, (_, j) => {
    const other = Float64Array.from(z);
    other[j] += STEP;
    return partsOf(printing, white, other, { parts: here, but: j });
  });
  return printing === 'dots' ? inDots(here, moved) : inTone(here, moved);
}

interface Parts {
  /** Absorption at unit amount; a black is the last. */
  readonly dyes: readonly Float64Array[];
  readonly base: Float64Array;
  /** Light thrown back by the surface. */
  readonly gloss: number;
  /** Of dots: Yule and Nielsen's n, and each dye's amount where it is solid. */
  readonly n: number;
  readonly solid: readonly number[];
}

/** @param like parts of a print of which only property `but` is another: what hangs on none but others is taken from it, not made again */
function partsOf(
  printing: Printing,
  white: Xyz,
  z: Float64Array,
  like: { readonly parts: Parts; readonly but: number } | null,
): Parts {
  const ranges = printing === 'inks' ? FIVE : THREE;
  const ofDyes = ranges.length * PER_DYE;
  const isKept = (from: number, count: number): boolean =>
    like !== null && (like.but < from || like.but >= from + count);
  const dyes = ranges.map((range, n) =>
    like !== null && isKept(n * PER_DYE, PER_DYE) ? like.parts.dyes[n] : dyeOf(range, z, n * PER_DYE),
  );
  const base = like !== null && isKept(ofDyes, OF_THE_BASE - 1) ? like.parts.base : baseOf(white, z, ofDyes);
  const gloss = within(GLOSS, z[ofDyes + OF_THE_BASE - 1]);
  const rest = ofDyes + OF_THE_BASE;
  if (printing === 'dots') {
    return {
      dyes,
      base,
      gloss,
      n: within(YULE_NIELSEN, z[rest]),
      solid: dyes.map((_, i) => within(SOLID, z[rest + 1 + i])),
    };
  }
  if (printing === 'tone') return { dyes, base, gloss, n: 1, solid: [] };
  const black = like !== null && isKept(rest, 2) ? like.parts.dyes[ranges.length] : blackOf(z, rest);
  return { dyes: [...dyes, black], base, gloss, n: 1, solid: [] };
}

const SIDE: Range = [0.01, 0.2];
const SIDE_NM: Range = [400, 440];
const FLOOR: Range = [0.005, 0.035];
const SIDE_WIDTH_NM = 60;

/** Absorption at unit amount. @param from where its six properties begin */
function dyeOf({ peakNm, widthNm }: DyeRange, z: Float64Array, from: number): Float64Array {
  const peak = within(peakNm, z[from]);
  const short = 1.1 * within(widthNm, z[from + 1]);
  const long = within(widthNm, z[from + 2]);
  const side = within(SIDE, z[from + 3]);
  const sideNm = within(SIDE_NM, z[from + 4]);
  const floor = within(FLOOR, z[from + 5]);
  return overGrid((nm) => bell(nm - peak, nm < peak ? short : long) + side * bell(nm - sideNm, SIDE_WIDTH_NM) + floor);
}

const YELLOW: Range = [0.02, 0.3];
const FALL_NM: Range = [25, 80];
const GLOSS: Range = [0, 0.007];

function baseOf(white: Xyz, z: Float64Array, from: number): Float64Array {
  const yellow = within(YELLOW, z[from]);
  const fall = within(FALL_NM, z[from + 1]);
  return movedOnto(
    white,
    overGrid((nm) => white[1] * Math.exp(-yellow * Math.exp(-(nm - GRID.firstNm) / fall))),
  );
}

const YULE_NIELSEN: Range = [1.6, 2.6];
const SOLID: Range = [2.6, 5];

const TILT: Range = [-0.15, 0.15];
const BOW: Range = [-0.1, 0.1];

function blackOf(z: Float64Array, from: number): Float64Array {
  const tilt = within(TILT, z[from]);
  const bow = within(BOW, z[from + 1]);
  return overGrid((nm) => {
    const t = (nm - 555) / 175;
    return Math.exp(tilt * t + bow * t * t);
  });
}

function within([low, high]: Range, z: number): number {
  return low + (high - low) * shareBelow(z);
}

function overGrid(of: (nm: number) => number): Float64Array {
  const out = new Float64Array(COUNT);
  for (let l = 0; l < COUNT; l++) out[l] = of(WAVELENGTHS_NM[l]);
  return out;
}

function inTone({ dyes, base, gloss }: Parts, moved: readonly Parts[]): Print {
  const through = new Float64Array(COUNT);
  const used = new Float64Array(dyes.length);
  const ways = moved.map((other) => {
    const dye = other.dyes.findIndex((its, n) => its !== dyes[n]);
    return {
      dye,
      by: dye < 0 ? slope(base, other.base) : slope(dyes[dye], other.dyes[dye]),
      gloss: (other.gloss - gloss) / STEP,
    };
  });
  return {
    amounts: dyes.length,
    most: MOST_IN_TONE,
    reflect: (amounts, out) => {
      for (let n = 0; n < used.length; n++) used[n] = amounts[n];
      for (let l = 0; l < COUNT; l++) {
        let density = 0;
        for (let n = 0; n < dyes.length; n++) density += used[n] * dyes[n][l];
        through[l] = Math.exp(-density);
        out[l] = gloss + (base[l] - gloss) * through[l];
      }
    },
    byAmount: (n, out) => {
      for (let l = 0; l < COUNT; l++) out[l] = (gloss - base[l]) * through[l] * dyes[n][l];
    },
    byProperty: (j, out) => {
      const way = ways[j];
      if (way.dye < 0) {
        for (let l = 0; l < COUNT; l++) out[l] = way.gloss + (way.by[l] - way.gloss) * through[l];
        return;
      }
      const amount = used[way.dye];
      for (let l = 0; l < COUNT; l++) out[l] = (gloss - base[l]) * through[l] * amount * way.by[l];
    },
  };
}

function inDots(here: Parts, moved: readonly Parts[]): Print {
  const { gloss, n } = here;
  const corners = CORNERS.map((corner) => cornerOf(here, corner));
  const ways = moved.map((other) => {
    return {
      corners: corners.map((corner, i) => (hasMoved(here, other, i) ? slope(corner, cornerOf(other, i)) : null)),
      gloss: (other.gloss - gloss) / STEP,
      n: (other.n - n) / STEP,
    };
  });
  const shares = new Float64Array(8);
  const [by, down] = [new Float64Array(8), new Float64Array(8)];
  const used = new Float64Array(3);
  const other = new Float64Array(3);
  const roots = new Float64Array(COUNT);
  const powers = new Float64Array(COUNT);
  return {
    amounts: 3,
    most: 1,
    reflect: (amounts, out) => {
      for (let i = 0; i < 3; i++) used[i] = amounts[i];
      shared(used, shares);
      mixedCorners(corners, shares, roots);
      for (let l = 0; l < COUNT; l++) {
        roots[l] = Math.max(roots[l], DARKEST_ROOT);
        powers[l] = (1 - gloss) * roots[l] ** (n - 1);
        out[l] = gloss + powers[l] * roots[l];
      }
    },
    byAmount: (i, out) => {
      // A share is a product of one factor a dye: by its amount, plus where the dye lies, minus where it does not.
      other.set(used);
      other[i] = 1;
      shared(other, by);
      other[i] = 0;
      shared(other, down);
      for (let corner = 0; corner < 8; corner++) by[corner] -= down[corner];
      mixedCorners(corners, by, out);
      for (let l = 0; l < COUNT; l++) out[l] *= n * powers[l];
    },
    byProperty: (j, out) => {
      const way = ways[j];
      mixedCorners(way.corners, shares, out);
      for (let l = 0; l < COUNT; l++) out[l] *= n * powers[l];
      if (way.gloss !== 0) {
        for (let l = 0; l < COUNT; l++) out[l] += way.gloss * (1 - (powers[l] * roots[l]) / (1 - gloss));
      }
      if (way.n !== 0) for (let l = 0; l < COUNT; l++) out[l] += way.n * powers[l] * roots[l] * Math.log(roots[l]);
    },
  };
}

const CORNERS = [0, 1, 2, 3, 4, 5, 6, 7] as const;

/** The n-th root of what an overprint of three solids reflects. @param corner bit i: dye i lies there */
function cornerOf({ dyes, base, n, solid }: Parts, corner: number): Float64Array {
  const out = new Float64Array(COUNT);
  for (let l = 0; l < COUNT; l++) {
    let density = 0;
    for (let i = 0; i < 3; i++) if ((corner >> i) & 1) density += solid[i] * dyes[i][l];
    out[l] = (base[l] * Math.exp(-density)) ** (1 / n);
  }
  return out;
}

function hasMoved(from: Parts, to: Parts, corner: number): boolean {
  if (from.base !== to.base || from.n !== to.n) return true;
  return from.dyes.some((dye, i) => ((corner >> i) & 1) === 1 && (dye !== to.dyes[i] || from.solid[i] !== to.solid[i]));
}

function shared(amounts: Float64Array, out: Float64Array): void {
  for (let corner = 0; corner < 8; corner++) {
    out[corner] = 1;
    for (let i = 0; i < 3; i++) out[corner] *= (corner >> i) & 1 ? amounts[i] : 1 - amounts[i];
  }
}

/** @param corners null: nothing at that overprint */
function mixedCorners(corners: readonly (Float64Array | null)[], shares: Float64Array, out: Float64Array): void {
  out.fill(0);
  for (let corner = 0; corner < 8; corner++) {
    const share = shares[corner];
    const own = corners[corner];
    if (share !== 0 && own !== null) for (let l = 0; l < COUNT; l++) out[l] += share * own[l];
  }
}

function slope(from: Float64Array, to: Float64Array): Float64Array {
  const out = new Float64Array(COUNT);
  for (let l = 0; l < COUNT; l++) out[l] = (to[l] - from[l]) / STEP;
  return out;
}

/** Share of a unit normal below z, to 0.02 %: a logistic curve (Bowling et al. 2009, J. Ind. Eng. Manag. 2, 114). */
function shareBelow(z: number): number {
  return 1 / (1 + Math.exp(-0.07056 * z ** 3 - 1.5976 * z));
}

function bell(distance: number, sd: number): number {
  return Math.exp(-((distance / sd) ** 2) / 2);
}
