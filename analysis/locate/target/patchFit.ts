/**
 * How well what lies under a placed layout agrees with its known colours. Scanners differ in tone curve, white and
 * strength of colour, so each of lightness, red–green and blue–yellow may be stretched and shifted, and the curve bent.
 */
import { type Homography, mapPoint } from '../../raster/homography.ts';
import type { ColourRaster } from './colourRaster.ts';
import type { ExpectedPatch } from './targetLayout.ts';
import { upperMedian } from '../../quantile.ts';

export interface PatchFit {
  /** Share of the patches that are as known, times how much of their differences is explained: 0..1; chance gives less than 0.4. */
  readonly quality: number;
  /** Share of the patches that are even and as known. */
  readonly asKnown: number;
  /** Share of the patches that are even, whatever their colour. */
  readonly even: number;
  /** Patches that are even and as known, in the layout's order. */
  readonly agrees: readonly boolean[];
  readonly seen: readonly SeenPatch[];
}

export interface SeenPatch {
  readonly rgb: readonly [number, number, number];
  /** Largest standard deviation of a channel over the patch. */
  readonly sd: number;
}

/** Readings of a patch across and down, over its inner 60 %. */
const SPOTS = 5;
const INNER = 0.6;
/** Coded values within so much of their place count as known: scanners are no observers. */
const NEAR = 0.09;
/** More scatter than this, and than twice the median, is an edge, writing or a finger. */
const EVEN_SD = 0.035;
/** Exponents that lead from sRGB's curve to other curves, a linear one included. */
const BENDS = [0.5, 0.7, 1, 1.4, 2.2];
/** The softening of a robust fit, coded values. */
const SOFT = 0.05;
/** A colour is at most so much stronger or weaker than expected. */
const LEAST_GAIN = 0.25;
const MOST_GAIN = 2.5;

/** @param toPx layout mm → px of the raster */
export function patchFit(raster: ColourRaster, patches: readonly ExpectedPatch[], toPx: Homography): PatchFit {
  const seen = patches.map((patch) => lookAt(raster, patch, toPx));
  const typical = upperMedian(seen.map((patch) => patch.sd));
  const isEven = seen.map((patch) => patch.sd <= Math.max(EVEN_SD, 2 * typical) && patch.sd < 0.12);
  const even = isEven.filter(Boolean).length / patches.length;
  const known = patches.flatMap((patch, k) => (patch.rgb === null ? [] : [{ k, rgb: patch.rgb }]));
  const agrees = patches.map(() => false);
  if (known.length < 6) return { quality: 0, asKnown: 0, even, agrees, seen };
  const observed = known.map(({ k }) => opponent(seen[k].rgb));
  const usable = known.map(({ k }) => isEven[k]);
  let best: Agreement = { quality: 0, asKnown: 0, near: [] };
  for (const bend of BENDS) {
    const expected = known.map(({ rgb }) => opponent([rgb[0] ** bend, rgb[1] ** bend, rgb[2] ** bend]));
    const found = agreement(expected, observed, usable);
    if (found.quality > best.quality) best = found;
  }
  known.forEach(({ k }, i) => (agrees[k] = best.near[i] ?? false));
  return { quality: best.quality, asKnown: best.asKnown, even, agrees, seen };
}

interface Agreement {
  readonly quality: number;
  readonly asKnown: number;
  readonly near: readonly boolean[];
}

type Opponent = readonly [light: number, redGreen: number, blueYellow: number];

function agreement(
  expected: readonly Opponent[],
  observed: readonly Opponent[],
  usable: readonly boolean[],
): Agreement {
  const fits = [0, 1, 2].map((c) =>
    robustLine(
      expected.map((e) => e[c]),
      observed.map((o) => o[c]),
      usable,
    ),
  );
  const misses = expected.map((e, i) => fits.map(({ offset, gain }, c) => observed[i][c] - offset - gain * e[c]));
  const near = misses.map(([l, a, b], i) => usable[i] && Math.sqrt(l * l + (a * a + b * b) / 2) < NEAR);
  const count = near.filter(Boolean).length;
  if (count < 6) return { quality: 0, asKnown: count / near.length, near };
  // What the known colours explain of what is seen, over the patches that agree: a blank page agrees in nothing.
  let explained = 0;
  let weights = 0;
  for (let c = 0; c < 3; c++) {
    const here = near.flatMap((isNear, i) => (isNear ? [i] : []));
    const mean = here.reduce((sum, i) => sum + observed[i][c], 0) / count;
    const spread = here.reduce((sum, i) => sum + (observed[i][c] - mean) ** 2, 0) / count;
    const left = here.reduce((sum, i) => sum + misses[i][c] ** 2, 0) / count;
    const due = variance(here.map((i) => expected[i][c]));
    // A target of greys says nothing by its colours.
    const weight = Math.min(1, due / 0.003) * (c === 0 ? 2 : 1);
    weights += weight;
    if (spread > 1e-4) explained += weight * Math.max(0, 1 - left / spread);
  }
  const asKnown = count / near.length;
  return { quality: weights > 0 ? (asKnown * explained) / weights : 0, asKnown, near };
}

/** Least squares with Cauchy's weights, so that covered patches do not bend the line. */
function robustLine(
  from: readonly number[],
  to: readonly number[],
  usable: readonly boolean[],
): { readonly offset: number; readonly gain: number } {
  let offset = 0;
  let gain = 1;
  for (let round = 0; round < 8; round++) {
    let n = 0;
    let x = 0;
    let y = 0;
    let xx = 0;
    let xy = 0;
    for (let i = 0; i < from.length; i++) {
      if (!usable[i]) continue;
      const miss = to[i] - offset - gain * from[i];
      // The first round takes all alike.
      const weight = round === 0 ? 1 : 1 / (1 + (miss / (SOFT * (round < 3 ? 3 : 1))) ** 2);
      n += weight;
      x += weight * from[i];
      y += weight * to[i];
      xx += weight * from[i] * from[i];
      xy += weight * from[i] * to[i];
    }
    if (n === 0) return { offset: 0, gain: 1 };
    const spread = xx / n - (x / n) ** 2;
    gain = spread < 1e-6 ? 1 : Math.min(MOST_GAIN, Math.max(LEAST_GAIN, (xy / n - (x / n) * (y / n)) / spread));
    offset = y / n - (gain * x) / n;
  }
  return { offset, gain };
}

function lookAt(raster: ColourRaster, { boxMm, centreMm }: ExpectedPatch, toPx: Homography): SeenPatch {
  const { rgb, widthPx, heightPx } = raster;
  const sum = [0, 0, 0];
  const square = [0, 0, 0];
  let n = 0;
  for (let j = 0; j < SPOTS; j++) {
    for (let i = 0; i < SPOTS; i++) {
      const [px, py] = mapPoint(toPx, [
        centreMm[0] + INNER * ((i + 0.5) / SPOTS - 0.5) * boxMm[2],
        centreMm[1] + INNER * ((j + 0.5) / SPOTS - 0.5) * boxMm[3],
      ]);
      const x = Math.floor(px);
      const y = Math.floor(py);
      if (x < 0 || y < 0 || x >= widthPx || y >= heightPx) continue;
      n++;
      for (let c = 0; c < 3; c++) {
        const v = rgb[3 * (y * widthPx + x) + c];
        sum[c] += v;
        square[c] += v * v;
      }
    }
  }
  if (n < SPOTS * SPOTS) return { rgb: [0, 0, 0], sd: 1 };
  const sd = Math.sqrt(Math.max(0, ...sum.map((s, c) => square[c] / n - (s / n) ** 2)));
  return { rgb: [sum[0] / n, sum[1] / n, sum[2] / n], sd };
}

function opponent([r, g, b]: readonly [number, number, number]): Opponent {
  return [(r + g + b) / 3, r - g, b - (r + g) / 2];
}

function variance(values: readonly number[]): number {
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  return values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / values.length;
}
