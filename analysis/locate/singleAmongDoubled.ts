/**
 * Single ink within what was left out as doubled. A disc about a crossing holds the corners between its arms too, and pens lay more ink there (they
 * turn, begin and end) than on the open line: without it a little writing would seem to shade less than it does.
 */
import type { KnownLayers } from './doubleLayers.ts';
import type { Ink } from './inkMask.ts';
import { maskPixels } from '../raster/maskPixels.ts';
import { nearSingles } from './nearSingles.ts';

/** Ink no nearer than this to two layers (1), against single ink near by (0), is single: pens pool, too. */
const ONCE = 0.45;
/** In reaches of the blur: from farther away a neighbour tells nothing. */
const FARTHEST = 2;

export interface BesideTwo {
  /** All that were added. */
  readonly added: readonly number[];
  /** Those that the blur of two layers reaches, and for each the nearest of single ink that it does not reach. */
  readonly blurred: Int32Array;
  readonly nearest: Int32Array;
}

export interface InkPlace {
  /** 10–90 % width of the ink's own edges, px. */
  readonly edgePx: number;
  /** Least distance from the ink's edge, px. */
  readonly depth: number;
  readonly pxPerMm: number;
}

/**
 * Adds them to `interior`, in place.
 * @param doubled 1 where ink was left out @param interior 1 where single ink counts already
 */
export function addSingleAmongDoubled(
  ink: Ink,
  doubled: Uint8Array,
  interior: Uint8Array,
  layers: KnownLayers,
  { edgePx, depth, pxPerMm }: InkPlace,
): BesideTwo {
  const { widthPx, heightPx } = ink.mask;
  const left = maskPixels({ data: doubled }).filter((i) => ink.mask.data[i] === 1);
  const dense = denseAmong(ink, left, interior, layers, pxPerMm);
  const reach = Math.ceil(edgePx / 2 + 0.5);
  const clear: number[] = [];
  const close: number[] = [];
  for (const i of left) {
    if (ink.depthPx[i] < depth || dense[i] === 1) continue;
    (isNear(dense, widthPx, heightPx, i, reach) ? close : clear).push(i);
  }
  for (const i of clear) interior[i] = 1;
  const nearest = nearestCounting(close, interior, widthPx, FARTHEST * reach);
  for (const i of nearest.keys()) interior[i] = 1;
  return {
    added: [...clear, ...nearest.keys()],
    blurred: Int32Array.from(nearest.keys()),
    nearest: Int32Array.from(nearest.values()),
  };
}

/** 1 where ink is nearer to two layers than to one. */
function denseAmong(
  ink: Ink,
  left: Int32Array,
  interior: Uint8Array,
  { density, step, single: far }: KnownLayers,
  pxPerMm: number,
): Uint8Array {
  const single = nearSingles(ink, density, maskPixels({ data: interior }), pxPerMm, far);
  const most = 1 + ONCE * (step - 1);
  const dense = new Uint8Array(interior.length);
  for (const i of left) if (density[i] > most * single(i)) dense[i] = 1;
  return dense;
}

function isNear(dense: Uint8Array, w: number, h: number, i: number, reach: number): boolean {
  const x = i % w;
  const y = (i - x) / w;
  for (let v = Math.max(0, y - reach); v <= Math.min(h - 1, y + reach); v++) {
    for (let p = v * w + Math.max(0, x - reach); p <= v * w + Math.min(w - 1, x + reach); p++) {
      if (dense[p] === 1) return true;
    }
  }
  return false;
}

/** Through one another, so many pixels far at most; those that none is so near to are left out. */
function nearestCounting(
  pixels: readonly number[],
  counting: Uint8Array,
  w: number,
  farthest: number,
): Map<number, number> {
  const nearest = new Map<number, number>();
  let left = pixels;
  for (let round = 0; round < farthest && left.length > 0; round++) {
    const found: [number, number][] = [];
    const others: number[] = [];
    for (const p of left) {
      const by = [p - 1, p + 1, p - w, p + w].find((q) => counting[q] === 1 || nearest.has(q));
      if (by === undefined) others.push(p);
      else found.push([p, nearest.get(by) ?? by]);
    }
    for (const [p, of] of found) nearest.set(p, of);
    left = others;
  }
  return nearest;
}
