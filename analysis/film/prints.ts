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
  const here = partsOf(printing, white, z);
  const moved = Array.from(z, (_, j) => {
    const other = Float64Array.from(z);
    other[j] += STEP;
    return partsOf(printing, white, other);
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

function partsOf(printing: Printing, white: Xyz, z: Float64Array): Parts {
  let next = 0;
  const within = (low: number, high: number): number => low + (high - low) * shareBelow(z[next++]);
  const dyes = (printing === 'inks' ? FIVE : THREE).map(({ peakNm, widthNm }) => {
    const peak = within(...peakNm);
    const short = 1.1 * within(...widthNm);
    const long = within(...widthNm);
    const side = within(0.01, 0.2);
    const sideNm = within(400, 440);
    const floor = within(0.005, 0.035);
    return Float64Array.from(
      WAVELENGTHS_NM,
      (nm) => bell(nm - peak, nm < peak ? short : long) + side * bell(nm - sideNm, 60) + floor,
    );
  });
  const yellow = within(0.02, 0.3);
  const fall = within(25, 80);
  const gloss = within(0, 0.007);
  const base = movedOnto(
    white,
    Float64Array.from(WAVELENGTHS_NM, (nm) => white[1] * Math.exp(-yellow * Math.exp(-(nm - 380) / fall))),
  );
  if (printing === 'dots') return { dyes, base, gloss, n: within(1.6, 2.6), solid: dyes.map(() => within(2.6, 5)) };
  if (printing === 'tone') return { dyes, base, gloss, n: 1, solid: [] };
  const tilt = within(-0.15, 0.15);
  const bow = within(-0.1, 0.1);
  const black = Float64Array.from(WAVELENGTHS_NM, (nm) => {
    const t = (nm - 555) / 175;
    return Math.exp(tilt * t + bow * t * t);
  });
  return { dyes: [...dyes, black], base, gloss, n: 1, solid: [] };
}

function inTone({ dyes, base, gloss }: Parts, moved: readonly Parts[]): Print {
  const through = new Float64Array(COUNT);
  const used = new Float64Array(dyes.length);
  const ways = moved.map((other) => {
    const by = other.dyes.map((dye, n) => slope(dyes[n], dye));
    return {
      dye: by.findIndex((dye) => dye.some((v) => v !== 0)),
      by,
      base: slope(base, other.base),
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
        for (let l = 0; l < COUNT; l++) out[l] = way.gloss + (way.base[l] - way.gloss) * through[l];
        return;
      }
      const amount = used[way.dye];
      const by = way.by[way.dye];
      for (let l = 0; l < COUNT; l++) out[l] = (gloss - base[l]) * through[l] * amount * by[l];
    },
  };
}

function inDots(here: Parts, moved: readonly Parts[]): Print {
  const { gloss, n } = here;
  const corners = cornersOf(here);
  const ways = moved.map((other) => {
    const its = cornersOf(other);
    const moves = its.map((corner, i) => slope(corners[i], corner));
    return {
      corners: moves.map((move) => (move.some((v) => v !== 0) ? move : null)),
      gloss: (other.gloss - gloss) / STEP,
      n: (other.n - n) / STEP,
    };
  });
  const shares = new Float64Array(8);
  const used = new Float64Array(3);
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
      const with1 = Float64Array.from(used);
      const without = Float64Array.from(used);
      with1[i] = 1;
      without[i] = 0;
      const up = new Float64Array(8);
      const down = new Float64Array(8);
      shared(with1, up);
      shared(without, down);
      mixedCorners(
        corners,
        up.map((v, corner) => v - down[corner]),
        out,
      );
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

/** The n-th root of what each overprint of three solids reflects; bit i of the index: dye i lies there. */
function cornersOf({ dyes, base, n, solid }: Parts): Float64Array[] {
  return Array.from({ length: 8 }, (_, corner) =>
    Float64Array.from(base, (r, l) => {
      let density = 0;
      for (let i = 0; i < 3; i++) if ((corner >> i) & 1) density += solid[i] * dyes[i][l];
      return (r * Math.exp(-density)) ** (1 / n);
    }),
  );
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
  return to.map((v, l) => (v - from[l]) / STEP);
}

/** Share of a unit normal below z, to 0.02 %: a logistic curve (Bowling et al. 2009, J. Ind. Eng. Manag. 2, 114). */
function shareBelow(z: number): number {
  return 1 / (1 + Math.exp(-0.07056 * z ** 3 - 1.5976 * z));
}

function bell(distance: number, sd: number): number {
  return Math.exp(-((distance / sd) ** 2) / 2);
}
