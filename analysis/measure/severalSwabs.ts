/** Whether one box holds several swabs that are not of one piece: apart from one another, and unlike where they face each other. */
import { signalToXyz } from '../calibrate/apply.ts';
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../colour/lab.ts';
import { type Component, components } from '../raster/components.ts';
import type { Mask } from '../raster/raster.ts';
import { triple } from '../triple.ts';
import type { RegionInput } from './region.ts';

/** Two pieces of one swab face each other across a dry gap, and alike; these limits are common practice, no source. */
export interface SeveralSwabsOptions {
  /** Smaller pieces are bits of a brush's end, of all that counts. @default 0.1 */
  readonly leastShare?: number;
  /** Bare paper between them at the least; what counts begins half a millimetre inside either rim. @default 0.5 */
  readonly gapMm?: number;
  /** How far into each of the two their facing sides are looked at. @default 2 */
  readonly facingMm?: number;
  /** Unlike by so much. @default 5 */
  readonly apartDE?: number;
}
export const SEVERAL_SWABS_DEFAULTS = {
  leastShare: 0.1,
  gapMm: 0.5,
  facingMm: 2,
  apartDE: 5,
} satisfies Required<SeveralSwabsOptions>;

/** What a swab's counted pixels lie inside its rim, on either side of a gap. */
const RIMS_MM = 1;
/** Pieces are held against each other by squares of this side, or larger ones so that there are not too many. */
const SQUARE_MM = 0.5;
const MOST_SQUARES = 1500;

/** @param ratio Signals over paper, three a pixel of the region. @param interior What of the swab counts. */
export function areSeveralSwabs(
  ratio: Float32Array,
  interior: Mask,
  input: RegionInput,
  options: SeveralSwabsOptions = {},
): boolean {
  const used = { ...SEVERAL_SWABS_DEFAULTS, ...options };
  const all = components(interior);
  const least = used.leastShare * all.reduce((sum, { area }) => sum + area, 0);
  const large = all.filter(({ area }) => area >= least);
  if (large.length < 2) return false;
  const pxPerMm = input.signal.dpi / 25.4;
  const most = Math.max(...large.map(({ area }) => area));
  const sidePx = Math.max(1, SQUARE_MM * pxPerMm, Math.sqrt(most / MOST_SQUARES));
  const pieces = large.map((piece) => squaresOf(piece, ratio, interior.widthPx, sidePx));
  return pieces.some((one, k) =>
    pieces.slice(k + 1).some((other) => {
      const found = facing(one, other, used.facingMm * pxPerMm);
      if (found.gapPx < (used.gapMm + RIMS_MM) * pxPerMm) return false;
      return deltaE2000(labOf(found.sides[0], input), labOf(found.sides[1], input)) > used.apartDE;
    }),
  );
}

interface Square {
  readonly x: number;
  readonly y: number;
  /** Of red, green, blue over its pixels, and how many these are. */
  readonly sums: Float64Array;
}

function squaresOf({ runs }: Component, ratio: Float32Array, widthPx: number, sidePx: number): Square[] {
  const squares = new Map<number, Square>();
  const across = Math.ceil(widthPx / sidePx) + 1;
  for (let r = 0; r < runs.length; r += 3) {
    const row = Math.floor(runs[r] / sidePx);
    for (let x = runs[r + 1]; x <= runs[r + 2]; x++) {
      const column = Math.floor(x / sidePx);
      const key = row * across + column;
      let square = squares.get(key);
      if (square === undefined) {
        square = { x: (column + 0.5) * sidePx, y: (row + 0.5) * sidePx, sums: new Float64Array(4) };
        squares.set(key, square);
      }
      addPixel(square.sums, ratio, runs[r] * widthPx + x);
    }
  }
  return [...squares.values()];
}

function addPixel(sums: Float64Array, ratio: Float32Array, i: number): void {
  for (let c = 0; c < 3; c++) sums[c] += ratio[3 * i + c];
  sums[3]++;
}

interface Facing {
  readonly gapPx: number;
  /** Mean signals over paper of what of each lies nearest to the other. */
  readonly sides: readonly [readonly number[], readonly number[]];
}

function facing(one: readonly Square[], other: readonly Square[], reachPx: number): Facing {
  const [from, to] = [one.map((s) => awayFrom(s, other)), other.map((s) => awayFrom(s, one))];
  const gapPx = Math.min(...from);
  const side = (squares: readonly Square[], away: readonly number[]): number[] => {
    const sum = new Float64Array(4);
    squares.forEach(({ sums }, k) => {
      if (away[k] <= gapPx + reachPx) for (let c = 0; c < 4; c++) sum[c] += sums[c];
    });
    return [sum[0] / sum[3], sum[1] / sum[3], sum[2] / sum[3]];
  };
  return { gapPx, sides: [side(one, from), side(other, to)] };
}

function awayFrom({ x, y }: Square, others: readonly Square[]): number {
  let least = Infinity;
  for (const other of others) least = Math.min(least, (other.x - x) ** 2 + (other.y - y) ** 2);
  return Math.sqrt(least);
}

function labOf(ratio: readonly number[], input: RegionInput): LabD50 {
  return xyzToLab(
    signalToXyz(
      triple((c) => ratio[c] * input.bare!.signal[c]),
      input.calibration,
    ),
  );
}
