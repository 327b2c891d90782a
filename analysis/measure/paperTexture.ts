/** How the lightness of bare paper varies at the scale of half a millimetre: fibres and clouds, not the light that falls on them. */
import { xyzToLab } from '../colour/lab.ts';
import { fitSurface, surfaceAt } from '../raster/lowOrderSurface.ts';
import { deviation, mean } from '../scatter.ts';
import { triple } from '../triple.ts';
import { BOOTSTRAP_DEFAULTS } from './measuredColour.ts';

export interface PaperTexture {
  /** Standard deviation of L* between squares, about a smooth surface through them; of no one paper about their mean. */
  readonly sd: number;
  /** Standard uncertainty of `sd`. */
  readonly u: number;
  /** The squares scatter no more about their mean than those of one bare paper do. */
  readonly isOnePaper: boolean;
}

/** A marked patch whose squares differ by more than this in L* (standard deviation) is not one bare paper. */
const UNIFORM_L = 3;
const SQUARE_MM = 0.5;
const LEAST_SQUARES = 9;
/** The bed's light bends over a hand's breadth; through a smaller box it is a slope, and a bent surface would follow the paper's own clouds. */
const BENT_FROM_MM = 20;
const TERMS = { 0: 1, 1: 3, 2: 6 } as const;

interface Squares {
  /** Column and row of each. */
  readonly places: readonly (readonly [number, number])[];
  readonly L: readonly number[];
}

/**
 * @param xyz Interleaved XYZ of the box, Y = 1 for the perfect diffuser. @param print 1 where something is printed; null: nowhere.
 * @returns null under nine squares
 */
export function paperTexture(
  xyz: Float32Array,
  print: Uint8Array | null,
  widthPx: number,
  heightPx: number,
  dpi: number,
): PaperTexture | null {
  const squarePx = Math.max(1, (SQUARE_MM * dpi) / 25.4);
  const { places, L } = squaresOf(xyz, print, widthPx, heightPx, squarePx);
  if (L.length < LEAST_SQUARES) return null;
  const isOnePaper = deviation(L) <= UNIFORM_L;
  const bends = (Math.max(widthPx, heightPx) / dpi) * 25.4 >= BENT_FROM_MM ? 2 : 1;
  const order = isOnePaper ? bends : 0;
  const off2 = offSurface(places, L, order);
  const n = L.length;
  const sd = Math.sqrt(off2.reduce((a, b) => a + b, 0) / (n - TERMS[order]));
  const perBlock = Math.max(1, Math.round(((BOOTSTRAP_DEFAULTS.blockMm / 25.4) * dpi) / squarePx));
  const u = Math.max(sd / Math.sqrt(2 * (n - TERMS[order])), uByBlocks(off2, places, perBlock, sd));
  return { sd, u, isOnePaper };
}

/** Squares of what is left of each; of order 0 about the plain mean, for a robust one would take the larger part for the whole. */
function offSurface(places: Squares['places'], L: readonly number[], order: 0 | 1 | 2): number[] {
  if (order === 0) {
    const middle = mean(L);
    return L.map((v) => (v - middle) ** 2);
  }
  const surface = fitSurface(
    places,
    L.map((v) => [v, v, v]),
    order,
  );
  const smooth = new Float64Array(3);
  return L.map((v, i) => {
    surfaceAt(surface, places[i][0], places[i][1], smooth);
    return (v - smooth[0]) ** 2;
  });
}

function squaresOf(xyz: Float32Array, print: Uint8Array | null, w: number, h: number, squarePx: number): Squares {
  const places: [number, number][] = [];
  const L: number[] = [];
  // Whole pixels that are half a millimetre in the mean: rounded once, squares at 275 dpi would be a tenth too small, and the paper rougher.
  const [tops, lefts] = [bordersOf(h, squarePx), bordersOf(w, squarePx)];
  for (let row = 0; row + 1 < tops.length; row++) {
    for (let column = 0; column + 1 < lefts.length; column++) {
      const sum = [0, 0, 0];
      let n = 0;
      for (let y = tops[row]; y < tops[row + 1]; y++) {
        for (let x = lefts[column]; x < lefts[column + 1]; x++) {
          if (print?.[y * w + x]) continue;
          n++;
          for (let c = 0; c < 3; c++) sum[c] += xyz[3 * (y * w + x) + c];
        }
      }
      // A square that print crosses says less than others, and nothing when little of it is left.
      if (n <= ((tops[row + 1] - tops[row]) * (lefts[column + 1] - lefts[column])) / 2) continue;
      places.push([column, row]);
      L.push(xyzToLab(triple((c) => sum[c] / n))[0]);
    }
  }
  return { places, L };
}

function bordersOf(lengthPx: number, squarePx: number): number[] {
  return Array.from({ length: Math.floor(lengthPx / squarePx) + 1 }, (_, i) => Math.round(i * squarePx));
}

/** Neighbours are lighter or darker together, so that fewer are counted than there are: what blocks of them differ by says how much that is. */
function uByBlocks(off2: readonly number[], places: Squares['places'], perBlock: number, sd: number): number {
  const blocks = new Map<string, { sum: number; n: number }>();
  off2.forEach((v, i) => {
    const key = `${Math.floor(places[i][0] / perBlock)} ${Math.floor(places[i][1] / perBlock)}`;
    const block = blocks.get(key) ?? { sum: 0, n: 0 };
    blocks.set(key, { sum: block.sum + v, n: block.n + 1 });
  });
  const count = blocks.size;
  if (count < 2 || sd === 0) return 0;
  const scatter = [...blocks.values()].reduce((total, { sum, n }) => total + (sum - n * sd * sd) ** 2, 0);
  return Math.sqrt((scatter * count) / (count - 1)) / off2.length / (2 * sd);
}
