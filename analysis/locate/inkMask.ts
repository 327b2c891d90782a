/** The ink of a region: where it is (coarseInk.ts, fineMask.ts), how much it differs from the paper, how far each pixel lies from its edge. */
import { squareMeans } from '../raster/squareSums.ts';
import { distanceToInside, distancesFromEdge } from '../raster/distance.ts';
import type { LinearRaster, Mask } from '../raster/raster.ts';
import { NEW_ROOMS, type Rooms } from '../raster/rooms.ts';
import { spansOfSquares, wholeRows } from '../raster/spans.ts';
import { type CoarseInk, coarseInk, contrastNoise, INK_DEFAULTS, type InkOptions, writeContrast } from './coarseInk.ts';
import { type CoarseRatio, coarseRatio, coarseStep } from './coarseRatio.ts';
import { type DarknessMap, darknessMap, darknessOf, mapStep } from './darknessMap.ts';
import { edgeWidth } from './edgeWidth.ts';
import { fineMask } from './fineMask.ts';
import { levelShade } from './localShade.ts';
import { ratioToPaper } from './paperRatio.ts';
import type { PaperSurface } from './paperSurface.ts';
import { takeOffPrint } from './printedRules.ts';

/** Nobody asks for how far paper lies from ink beyond this, mm. */
const AWAY_MM = 2.5;
/** On finer scans the distance to ink is exact up to here, px; further out it is told by squares, to within one of them. */
const EXACT_PX = 8;
/** … up to this resolution, and as many mm beyond it. */
const EXACT_DPI = 1200;
/** A pixel of ink lies this near to a square of ink, in squares' sides: in one beside it, and both pixels off their squares' middles, or left over at the raster's end. */
const OFF_SQUARES = 4;

export interface Ink {
  readonly mask: Mask;
  /** Signal over local paper per channel, 1 on bare paper; interleaved, 3 per pixel. */
  readonly ratio: Float32Array;
  /** Linear contrast along the chosen direction: 0 on paper, about 1 at the densest ink. */
  readonly contrast: Float32Array;
  /** Standard deviation of `contrast` on bare paper. */
  readonly noise: number;
  /** Distance from each ink pixel to the outside, px (distance.ts). */
  readonly depthPx: Float32Array;
  /** Distance from each other pixel to the ink, px; further away than AWAY_MM it may read anything beyond that. */
  readonly awayPx: Float32Array;
  /** 10–90 % width of the edge as it was scanned, px; null when no edge is wide enough to tell. */
  readonly edgeWidthPx: number | null;
  /** Pixels that stand out but have not the ink's colour (a label): they are not in the mask. */
  readonly otherMarksPx: number;
}

interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
}

/** Null when nothing in the region stands out from the paper. */
export function findInk(signal: LinearRaster, paper: PaperSurface, options: InkOptions = {}): Ink | null {
  const ratio = new Float32Array(signal.data.length);
  return inkInRatio(clearedRatio(signal, paper, ratio), signal, paper.pixelNoise, options);
}

/** Signal over the page's paper, without shade and print. @param ratio Where it goes; the signal's own room may be given. */
export function clearedRatio(signal: LinearRaster, paper: PaperSurface, ratio: Float32Array): Float32Array {
  ratioToPaper(signal, paper, ratio);
  clear(() => ratio, signal, darknessMap(ratio, signal), paper);
  return ratio;
}

function clear(pixels: () => Float32Array, size: Size, map: DarknessMap, { pixelNoise }: PaperSurface): void {
  levelShade(pixels, size, map);
  takeOffPrint(pixels, size, map, pixelNoise);
}

/**
 * Squares of the same. Of pixels only where shade or print had to be taken off, null elsewhere: they can wait until the region's own paper is known.
 * @param room Where they go; the signal's own may be given.
 */
export function clearedSquares(
  signal: LinearRaster,
  paper: PaperSurface,
  room: () => Float32Array,
  rooms: Rooms = NEW_ROOMS,
): { readonly coarse: CoarseRatio; readonly ratio: Float32Array | null } {
  const step = coarseStep(signal);
  if (step === 1) {
    const ratio = clearedRatio(signal, paper, room());
    return { coarse: coarseRatio(ratio, signal), ratio };
  }
  let ratio: Float32Array | null = null;
  const pixels = (): Float32Array => {
    if (ratio === null) ratioToPaper(signal, paper, (ratio = room()));
    return ratio;
  };
  clear(pixels, signal, darknessOf(squaresOverPaper(signal, paper, mapStep(signal.dpi), rooms), signal.dpi), paper);
  return { coarse: ratio === null ? squaresOverPaper(signal, paper, step, rooms) : coarseRatio(ratio, signal), ratio };
}

function squaresOverPaper(signal: LinearRaster, paper: PaperSurface, step: number, rooms: Rooms): CoarseRatio {
  const dpi = signal.dpi / step;
  const [x, y] = signal.originPx;
  const squares = squareMeans(signal.data, signal, step, rooms);
  ratioToPaper({ ...squares, dpi, originPx: [x / step, y / step] }, paper, squares.data);
  return { ...squares, dpi, step };
}

/** The same from a raster that is already divided by its paper. @param pixelNoise Relative, per channel, on bare paper. */
export function inkInRatio(
  ratio: Float32Array,
  size: Size,
  pixelNoise: readonly number[],
  options: InkOptions = {},
): Ink | null {
  const coarse = coarseRatio(ratio, size);
  const found = coarseInk(coarse, pixelNoise, { ...INK_DEFAULTS, ...options });
  if (found === null) return null;
  const contrast = new Float32Array(size.widthPx * size.heightPx);
  for (let start = 0; start < contrast.length; start += size.widthPx) {
    writeContrast(ratio, found.densest.direction, contrast, start, start + size.widthPx);
  }
  const away = squaresAway(found.mask, coarse);
  return fineInk(found, { ratio, contrast, ...size }, coarse, away, pixelNoise, options);
}

/** Distance of each square to the ink, in squares. */
export function squaresAway(mask: Mask, { dpi }: CoarseRatio): Float32Array {
  return distanceToInside(mask, undefined, (AWAY_MM * dpi) / 25.4);
}

/** The ink's pixels and what hangs on them. @param away By squares. */
export function fineInk(
  found: CoarseInk,
  pixels: Size & { readonly ratio: Float32Array; readonly contrast: Float32Array },
  { step }: CoarseRatio,
  away: Float32Array,
  pixelNoise: readonly number[],
  options: InkOptions = {},
  rooms: Rooms = NEW_ROOMS,
): Ink | null {
  const { ratio, contrast, widthPx, heightPx, dpi } = pixels;
  const { minAreaMm2 } = { ...INK_DEFAULTS, ...options };
  const pxPerMm = dpi / 25.4;
  const isCoarse = step > 1;
  const mask = fineMask(found, step, pixels, pixelNoise, minAreaMm2 * pxPerMm * pxPerMm, rooms);
  if (!mask.data.includes(1)) return null;
  const finer = Math.max(1, dpi / EXACT_DPI);
  const exactPx = EXACT_PX * finer;
  const far = isCoarse ? farFromSquares(away, found.mask, step, widthPx, heightPx, rooms) : null;
  const near = isCoarse
    ? spansOfSquares(away, found.mask, exactPx / step + OFF_SQUARES, step, widthPx)
    : wholeRows(widthPx, heightPx);
  const { depthPx, awayPx } = distancesFromEdge(mask, isCoarse ? exactPx : AWAY_MM * pxPerMm, far, near, rooms);
  return {
    mask,
    ratio,
    contrast,
    noise: contrastNoise(found.densest, pixelNoise),
    depthPx,
    awayPx,
    edgeWidthPx: edgeWidth(contrast, found.core, step, mask, depthPx, awayPx, near, finer),
    otherMarksPx: found.otherMarksPx,
  };
}

/** What lies further than is exact is as far as its square. */
function farFromSquares(
  away: Float32Array,
  { widthPx: width, heightPx: height }: Mask,
  step: number,
  widthPx: number,
  heightPx: number,
  rooms: Rooms,
): Float32Array {
  const out = rooms.floats(widthPx * heightPx);
  const row = new Float32Array(widthPx);
  const levels = new Float32Array(width);
  const places = squareOfEach(widthPx, step, width);
  for (let y = 0, square = -1; y < heightPx; y++) {
    const own = Math.min(height - 1, Math.floor(y / step));
    if (own !== square) {
      writeFar(away, own * width, step, levels);
      spread(levels, places, row);
    }
    square = own;
    out.set(row, y * widthPx);
  }
  return out;
}

/** In which of a row's squares each pixel lies; those left over at its end belong to the last. */
function squareOfEach(widthPx: number, step: number, width: number): Int32Array {
  return Int32Array.from({ length: widthPx }, (_, x) => Math.min(width - 1, Math.floor(x / step)));
}

/** Distances of a row of squares, in pixels. */
function writeFar(away: Float32Array, from: number, step: number, out: Float32Array): void {
  for (let square = 0; square < out.length; square++) {
    const far = step * away[from + square];
    out[square] = far > EXACT_PX ? far : EXACT_PX;
  }
}

function spread(levels: Float32Array, places: Int32Array, out: Float32Array): void {
  for (let x = 0; x < out.length; x++) out[x] = levels[places[x]];
}

/**
 * 1 on paper that lies further than so much from the ink, as `awayPx` tells it, from the squares alone.
 * @param leastPx More than EXACT_PX and a square's diagonal. @param away By squares.
 */
export function bareOfSquares(
  away: Float32Array,
  { step, widthPx: width, heightPx: height }: CoarseRatio,
  leastPx: number,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  rooms: Rooms = NEW_ROOMS,
): Uint8Array {
  const out = rooms.bytes(widthPx * heightPx);
  const row = new Uint8Array(widthPx);
  const places = squareOfEach(widthPx, step, width);
  for (let y = 0, square = -1; y < heightPx; y++) {
    const own = Math.min(height - 1, Math.floor(y / step));
    if (own !== square) bareRow(away, own * width, step, leastPx, places, row);
    square = own;
    out.set(row, y * widthPx);
  }
  return out;
}

function bareRow(
  away: Float32Array,
  from: number,
  step: number,
  leastPx: number,
  places: Int32Array,
  out: Uint8Array,
): void {
  for (let x = 0; x < out.length; x++) out[x] = step * away[from + places[x]] > leastPx ? 1 : 0;
}
