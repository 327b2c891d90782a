/** The mean colour of many pixels, averaged in linear XYZ, with its scatter by block bootstrap. */
import { type LabD50, type Xyz, xyzToLab } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { nextRandom, randomState } from '../seededRandom.ts';
import { triple } from '../triple.ts';

export interface MeasuredColour {
  readonly xyz: Xyz;
  readonly lab: LabD50;
  /** Covariance of Lab from the scatter between blocks, 3 × 3 row-major. */
  readonly covariance: readonly number[];
  readonly pixels: number;
}

export interface BootstrapOptions {
  /** Side of a block, mm: longer than paper fibres and the pen's own rhythm of wet and dry hang together. @default 2 */
  readonly blockMm?: number;
  /** @default 200 */
  readonly draws?: number;
}
export const BOOTSTRAP_DEFAULTS = { blockMm: 2, draws: 200 } satisfies Required<BootstrapOptions>;

/** Pixels gathered by square blocks: which pixel lies in which. */
export interface Blocks {
  /** Block of each pixel, in the order of `indices`. */
  readonly of: Int32Array;
  readonly count: number;
}

/** @param indices Pixels in the raster's order. @returns blocks that hold any of them, numbered in the order in which they are met */
export function blocksOf(indices: Int32Array, widthPx: number, blockPx: number): Blocks {
  const size = Math.max(1, Math.round(blockPx));
  const perRow = Math.ceil(widthPx / size);
  let last = 0;
  for (let from = 0; from < indices.length; from += CHUNK) last = highest(indices, from, last);
  // Blocks are numbered as they are met; 0 stands for none yet.
  const number = new Int32Array(perRow * (Math.floor(last / widthPx / size) + 1));
  let count = 0;
  const of = new Int32Array(indices.length);
  for (let from = 0; from < indices.length; from += CHUNK) {
    count = numberBlocks(indices, from, widthPx, size, perRow, number, count, of);
  }
  return { of, count };
}

/** So many pixels at a time: what is called often is soon compiled. */
const CHUNK = 1024;

function highest(indices: Int32Array, from: number, before: number): number {
  let last = before;
  for (let k = from, end = Math.min(indices.length, from + CHUNK); k < end; k++) last = Math.max(last, indices[k]);
  return last;
}

/** @returns how many blocks there are then */
function numberBlocks(
  indices: Int32Array,
  from: number,
  widthPx: number,
  size: number,
  perRow: number,
  number: Int32Array,
  before: number,
  of: Int32Array,
): number {
  let count = before;
  for (let k = from, end = Math.min(indices.length, from + CHUNK); k < end; k++) {
    const x = indices[k] % widthPx;
    const y = (indices[k] - x) / widthPx;
    const key = Math.floor(y / size) * perRow + Math.floor(x / size);
    if (number[key] === 0) number[key] = ++count;
    of[k] = number[key] - 1;
  }
  return count;
}

/**
 * @param xyz Interleaved XYZ per pixel, Y = 1 for the perfect diffuser. @param blocks Which block each belongs to.
 * @param seed For the bootstrap; the same seed gives the same figures.
 */
export function measuredColour(
  xyz: Float32Array,
  blocks: Blocks,
  seed: number,
  draws = BOOTSTRAP_DEFAULTS.draws,
): MeasuredColour {
  const n = xyz.length / 3;
  const sums = new Float64Array(4 * blocks.count);
  for (let from = 0; from < n; from += CHUNK) addToBlocks(xyz, blocks.of, from, Math.min(n, from + CHUNK), sums);
  const total = [0, 0, 0];
  for (let b = 0; b < blocks.count; b++) for (let c = 0; c < 3; c++) total[c] += sums[4 * b + c];
  const mean = triple((c) => total[c] / n);
  return {
    xyz: mean,
    lab: xyzToLab(mean),
    covariance: bootstrapCovariance(sums, blocks.count, seed, draws),
    pixels: n,
  };
}

/** X, Y, Z and the number of pixels of each block. */
function addToBlocks(xyz: Float32Array, of: Int32Array, from: number, to: number, sums: Float64Array): void {
  for (let k = from, i = 3 * from; k < to; k++, i += 3) {
    const b = 4 * of[k];
    sums[b] += xyz[i];
    sums[b + 1] += xyz[i + 1];
    sums[b + 2] += xyz[i + 2];
    sums[b + 3]++;
  }
}

function bootstrapCovariance(sums: Float64Array, count: number, seed: number, draws: number): number[] {
  const random = randomState(seed);
  const labs: LabValue[] = [];
  for (let d = 0; d < draws; d++) labs.push(drawnLab(sums, count, random));
  return covarianceOf(labs);
}

/** Mean colour of as many blocks drawn anew. */
function drawnLab(sums: Float64Array, count: number, random: Int32Array): LabValue {
  let x = 0;
  let y = 0;
  let z = 0;
  let n = 0;
  for (let k = 0; k < count; k++) {
    const b = 4 * Math.floor(nextRandom(random) * count);
    x += sums[b];
    y += sums[b + 1];
    z += sums[b + 2];
    n += sums[b + 3];
  }
  return xyzToLab([x / n, y / n, z / n]);
}

/** Of L*, a*, b*, 3 × 3 row-major, over n − 1. */
export function covarianceOf(labs: readonly LabValue[]): number[] {
  const mean = [0, 1, 2].map((c) => labs.reduce((sum, l) => sum + l[c], 0) / labs.length);
  const covariance: number[] = [];
  for (let p = 0; p < 3; p++) {
    for (let q = 0; q < 3; q++) {
      covariance.push(
        labs.reduce((sum, l) => sum + (l[p] - mean[p]) * (l[q] - mean[q]), 0) / Math.max(1, labs.length - 1),
      );
    }
  }
  return covariance;
}

/** Standard deviations of L*, a*, b*. @param covariance 3 × 3 row-major */
export function diagonalRoot(covariance: readonly number[]): LabValue {
  return [Math.sqrt(covariance[0]), Math.sqrt(covariance[4]), Math.sqrt(covariance[8])];
}
