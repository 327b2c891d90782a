/** What shows on a reverse with no front to compare it with: lines darker than the paper about them. */
import { distanceToInside, distanceToOutside } from '../../raster/distance.ts';
import { dropSmallComponents } from '../../raster/smallComponents.ts';
import { gaussianSmooth } from '../../raster/gaussian.ts';
import type { LinearRaster } from '../../raster/raster.ts';
import { maximumFilter } from '../../raster/maximumFilter.ts';
import { REVERSE_MARKS } from './reverseInput.ts';

export interface GhostAlone {
  /** Whether lines can be seen at all. */
  readonly isThere: boolean;
  /** REVERSE_MARKS per pixel; empty when nothing is there. */
  readonly marks: Uint8Array;
  /** What the mean over some hundred lines' worth of paper is unsure by, relative. */
  readonly noise: number;
}

/** A line is at least about so wide, mm: noise finer than that is smoothed away. */
const LINE_MM = 0.3;
/** Light and mottling change over more than this, mm. */
const SLOW_MM = 2.5;
/** Darker than this many standard deviations of the smoothed paper: chance gives less than one such square millimetre a page. */
const SIGMAS = 4;
/** Below this share of the box it is specks, not writing. */
const LEAST_SHARE = 0.004;

/** @param y Luminance per pixel of `back`, 1 for the perfect diffuser */
export function ghostAlone(y: Float32Array, back: LinearRaster): GhostAlone {
  const { widthPx, heightPx, dpi } = back;
  const pxPerMm = dpi / 25.4;
  const fine = gaussianSmooth(y, widthPx, heightPx, (LINE_MM / 2) * pxPerMm);
  const { dark, spread } = againstOwnPaper(fine, widthPx, heightPx, SLOW_MM * pxPerMm);
  const mask = { data: new Uint8Array(dark.length), widthPx, heightPx };
  for (let i = 0; i < dark.length; i++) if (dark[i] > SIGMAS * spread) mask.data[i] = 1;
  dropSmallComponents(mask, 0.15 * pxPerMm * pxPerMm);
  let area = 0;
  for (const m of mask.data) area += m;
  const noise = spread / 10;
  if (area < LEAST_SHARE * dark.length) return { isThere: false, marks: new Uint8Array(0), noise };
  // Down to half of each line's own darkness: where its edge is.
  const core = maximumFilter(dark, widthPx, heightPx, Math.max(2, Math.round(0.6 * pxPerMm)));
  const seedNear = distanceToInside(mask);
  for (let i = 0; i < dark.length; i++) {
    mask.data[i] = seedNear[i] <= 0.6 * pxPerMm && dark[i] > Math.max(2 * spread, 0.5 * core[i]) ? 1 : 0;
  }
  const depth = distanceToOutside(mask);
  const away = distanceToInside(mask);
  const deepest = maximumFilter(depth, widthPx, heightPx, Math.max(2, Math.round(0.5 * pxPerMm)));
  const marks = new Uint8Array(dark.length);
  for (let i = 0; i < dark.length; i++) {
    if (mask.data[i])
      marks[i] = depth[i] - 0.5 >= (2 / 3) * (deepest[i] - 0.5) ? REVERSE_MARKS.behindCore : REVERSE_MARKS.behindInk;
    else if (away[i] >= 0.4 * pxPerMm && away[i] <= 2.2 * pxPerMm) marks[i] = REVERSE_MARKS.bare;
  }
  return { isThere: true, marks, noise };
}

const ROUNDS = 4;

/**
 * How much darker each place is than the paper about it, 0 on paper; what proves dark no longer counts as paper, round by round, since writing would
 * else darken what it is held against.
 * @returns with the paper's own scatter, a standard deviation
 */
function againstOwnPaper(
  y: Float32Array,
  widthPx: number,
  heightPx: number,
  sigmaPx: number,
): { dark: Float32Array; spread: number } {
  const counts = new Float32Array(y.length).fill(1);
  const dark = new Float32Array(y.length);
  let spread = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const light = gaussianSmooth(
      y.map((v, i) => v * counts[i]),
      widthPx,
      heightPx,
      sigmaPx,
    );
    const weight = gaussianSmooth(counts, widthPx, heightPx, sigmaPx);
    for (let i = 0; i < y.length; i++) dark[i] = weight[i] > 0.02 ? 1 - (y[i] * weight[i]) / light[i] : 0;
    const stride = Math.max(1, Math.floor(dark.length / 40_000));
    const some = dark.filter((_, i) => i % stride === 0 && counts[i] > 0).sort();
    // Of the pale half: writing makes the dark side longer.
    const middle = some[some.length >> 1];
    spread = Math.max(1e-6, middle - some[Math.floor(0.1587 * some.length)]);
    for (let i = 0; i < dark.length; i++) counts[i] = dark[i] - middle > 2 * spread ? 0 : 1;
  }
  return { dark, spread };
}
