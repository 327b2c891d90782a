/** How light and dark lie apart within one sample: the 10th and 90th percentile of L* (of pale ink, of how much of it there is) and the colours there. */
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, chroma, hueDeg, hueDifferenceDeg, labD50, xyzToLab } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { sortedBy } from '../raster/sortedBy.ts';
import type { Blocks } from './measuredColour.ts';
import { deviation, Z90 } from '../scatter.ts';
import { nextRandom, randomState } from '../seededRandom.ts';
import { triple } from '../triple.ts';

export interface LightAndDark {
  readonly light: LabD50;
  readonly dark: LabD50;
}

export interface ShadingStatistic extends LightAndDark {
  /** ΔE00 between light and dark, the paper's own scatter taken off, ≥ 0. */
  readonly dE00: number;
  /** L* light minus dark, the paper's scatter taken off in quadrature, ≥ 0. */
  readonly dL: number;
  /** Hue light minus dark, °; null when either is too grey to have one. */
  readonly dHueDeg: number | null;
  /** Of the step that the pixels are ordered by, the ink's own share, 0..1. */
  readonly ownShare: number;
  /** The ink's own step in that. */
  readonly ownStep: number;
  /** The rest of it as a relative step of paper's light: what paper's scatter alone would make of the step, 0 where it makes nothing. */
  readonly paperStep: number;
  /** Standard deviations of the three by the block bootstrap, as far as the sample was not seen whole, and the doubt of the paper's scatter. */
  readonly uRepeat: { readonly dE00: number; readonly dL: number; readonly dHueDeg: number };
  /** Which of the given pixels are among the lightest and darkest tenth, for overlays: 1 dark end, 2 light end. */
  readonly ends: Uint8Array;
  /** The given pixels from dark to light. */
  readonly order: Int32Array;
}

/** What bare paper shows after the same smoothing: its relative scatter, or, of ink that lightness does not order, an order of its own (inkOrder.ts). */
export type PaperScatter = number | OrderOfInk;

export interface OrderOfInk {
  /** One a pixel, rising from dark to light. */
  readonly thinness: Float32Array;
  /** Standard deviation that paper and noise alone would show of it. */
  readonly noise: number;
  /** What they do to Lab at this ink's colour where they make a step of 1 in it, and what ink does on its way from paper. */
  readonly paperLab: LabValue;
  readonly inkLab: LabValue;
}

interface Ends extends LightAndDark {
  /** Between their places in the order by thinness; of light, 0. */
  readonly apart: number;
}

/** Percentiles that stand for dark and light, and how many points about them are averaged (docs/measures.md, `shading`). */
const DARK = 0.1;
const LIGHT = 0.9;
const ABOUT = 0.025;
/** Below this chroma a hue angle says nothing. */
const LEAST_CHROMA = 2;
const BOOTSTRAP_PIXELS = 8000;
/** Relative standard uncertainty of the paper's scatter beneath ink, known from the bare paper beside it; common practice, no source. */
const FLOOR_DOUBT = 0.1;
/** The same of what paper and noise do to a colour where they pass for ink, known from bare paper beside it, too. */
const WAY_DOUBT = 0.5;
/** A smaller share of a step than this is hidden by that doubt. */
export const LEAST_SHARE = Math.sqrt(FLOOR_DOUBT);
/**
 * A sample as it lies there was looked at nearly whole: of what its blocks scatter when drawn anew only the part that was left out (crossings, rims) is a draw of
 * what might have been, and that is like them for a quarter of the variance (study writing).
 */
const UNSEEN_ROOT = 0.5;

/**
 * @param xyz Interleaved, one triple a pixel, already smoothed. @param paper Ink over fibres scatters by the same factor
 * as they do.
 */
export function shadingStatistic(
  xyz: Float32Array,
  blocks: Blocks,
  paper: PaperScatter,
  seed: number,
  draws = 100,
): ShadingStatistic {
  const order = sortedBy(typeof paper === 'number' ? luminanceOf(xyz) : paper.thinness);
  const once = new Float64Array(blocks.count).fill(1);
  const ends = endsOf({ xyz, order, blocks, paper }, once);
  const { dark, light } = ends;
  const own = stepsOf(ends, paper);
  const doubt = doubtOfFloor(ends, paper);
  const D = wholeStep(ends, paper);
  const d = ownStep(ends, paper);
  const ownShare = Math.min(1, d / Math.max(1e-6, D));
  const random = randomState(seed);
  // The scatter between draws needs no more than this many pixels.
  const some = everySome({ xyz, order, blocks, paper }, Math.max(1, Math.floor(order.length / BOOTSTRAP_PIXELS)));
  const draw: Steps[] = [];
  // The paper under hidden ink is a draw, and it is the most of what blocks differ by.
  const unseen = typeof paper === 'number' ? UNSEEN_ROOT : 1;
  const weight = new Float64Array(blocks.count);
  for (let d = 0; d < draws; d++) draw.push(drawnSteps(some, weight, random));
  return {
    dark,
    light,
    ...own,
    dL: Math.max(0, own.dL),
    ownShare,
    ownStep: d,
    paperStep: (1 - ownShare ** 2) * D * (typeof paper === 'number' ? 3 / (middleOf(ends)[0] + 16) : 1),
    uRepeat: {
      dE00: Math.hypot(unseen * deviation(draw.map((v) => v.dE00)), doubt.dE00),
      dL: Math.hypot(unseen * deviation(draw.map((v) => v.dL)), doubt.dL),
      dHueDeg: unseen * deviation(draw.flatMap((v) => v.dHueDeg ?? [])),
    },
    ends: markedEnds(order),
    order,
  };
}

interface Steps {
  readonly dE00: number;
  /** Below 0 by chance, where there is hardly a step. */
  readonly dL: number;
  readonly dHueDeg: number | null;
}

// Each loop over all pixels has a function of its own: behind it there is nothing that was not yet run when it was compiled.

/** L* grows with Y, so Y orders the pixels as L* would. */
function luminanceOf(xyz: Float32Array): Float32Array {
  const luminance = new Float32Array(xyz.length / 3);
  for (let k = 0, i = 1; k < luminance.length; k++, i += 3) luminance[k] = xyz[i];
  return luminance;
}

function markedEnds(order: Int32Array): Uint8Array {
  const n = order.length;
  const ends = new Uint8Array(n);
  for (let r = 0; r < n; r++) if (r < n * DARK || r >= Math.ceil(n * LIGHT)) ends[order[r]] = r < n * DARK ? 1 : 2;
  return ends;
}

function drawnSteps(some: OrderedPixels, weight: Float64Array, random: Int32Array): Steps {
  drawBlocks(weight, random);
  return stepsOf(endsOf(some, weight), some.paper);
}

/** How often each block is drawn. */
function drawBlocks(weight: Float64Array, random: Int32Array): void {
  weight.fill(0);
  for (let k = 0; k < weight.length; k++) weight[Math.floor(nextRandom(random) * weight.length)]++;
}

function stepsOf(ends: Ends, paper: PaperScatter): Steps {
  return inkSteps(ends, paper, ownStep(ends, paper));
}

/**
 * The ink's own steps. Sorted by L*, an end is light partly for its thin ink and partly for its paper: of a step D that holds the ink's d the share
 * (d/D)² is ink and the rest paper, which scales X, Y and Z alike. So a* and b* hold (d/D)² D where the ink has d: as much too little as paper orders the pixels.
 *
 * @param d The ink's own step in what the pixels are ordered by.
 */
function inkSteps(ends: Ends, paper: PaperScatter, d: number): Steps {
  const D = Math.max(1e-6, wholeStep(ends, paper));
  const share = Math.min(1, d / D);
  const [L, a, b] = middleOf(ends);
  const rest = D * (1 - share * share);
  const v = triple((c) => ends.light[c] - ends.dark[c]);
  const [dL, da, db] = typeof paper === 'number' ? byLight() : byThinness(paper);
  const dark = labD50(L - dL / 2, a - da / 2, b - db / 2);
  const light = labD50(L + dL / 2, a + da / 2, b + db / 2);
  return { dE00: deltaE2000(dark, light), dL, dHueDeg: hueStep({ dark, light }) };

  function byLight(): LabValue {
    const by = Math.max(share, LEAST_SHARE);
    return [d, (v[1] - (rest * a) / (L + 16)) / by, (v[2] - (rest * b) / (L + 16)) / by];
  }

  /** The less of the step is ink, the more its way is that of the ink from paper, which is surer than what is left of the step. */
  function byThinness({ paperLab, inkLab }: OrderOfInk): LabValue {
    return triple((c) => share * (v[c] - rest * paperLab[c]) + (1 - share * share) * d * inkLab[c]);
  }
}

/** Standard uncertainties of the steps from what is taken off being in doubt. */
function doubtOfFloor(ends: Ends, paper: PaperScatter): { readonly dE00: number; readonly dL: number } {
  const floor = noiseFloor(ends, paper);
  const d = ownStep(ends, paper);
  // d² = D² − f², so u(d) = u(f) f/d; where d vanishes it may be as large as makes d² as large as its own doubt.
  const doubt = (FLOOR_DOUBT * floor * floor) / Math.max(d, LEAST_SHARE * floor, 1e-6);
  const own = inkSteps(ends, paper, d);
  const beside = [Math.max(0, d - doubt), d + doubt].map((other) => inkSteps(ends, paper, other));
  const mostOf = (others: readonly Steps[], of: 'dE00' | 'dL'): number =>
    Math.max(...others.map((other) => Math.abs(other[of] - own[of])));
  if (typeof paper === 'number') return { dE00: mostOf(beside, 'dE00'), dL: doubt };
  const ways = [1 - WAY_DOUBT, 1 + WAY_DOUBT].map((by) =>
    inkSteps(ends, { ...paper, paperLab: triple((c) => by * paper.paperLab[c]) }, d),
  );
  return {
    dE00: Math.hypot(mostOf(beside, 'dE00'), mostOf(ways, 'dE00')),
    dL: Math.hypot(mostOf(beside, 'dL'), mostOf(ways, 'dL')),
  };
}

/** The same steps over a part of the pixels only. @param order Those, from dark to light. */
export function shadingOver(
  xyz: Float32Array,
  order: Int32Array,
  blocks: Blocks,
  paper: PaperScatter,
): { readonly dE00: number; readonly dL: number } {
  const ends = endsOf({ xyz, order, blocks, paper }, new Float64Array(blocks.count).fill(1));
  const { dE00, dL } = stepsOf(ends, paper);
  return { dE00, dL: Math.max(0, dL) };
}

interface OrderedPixels {
  readonly xyz: Float32Array;
  /** From dark to light. */
  readonly order: Int32Array;
  readonly blocks: Blocks;
  readonly paper: PaperScatter;
}

/** Every so many-th pixel from dark to light, put together in that order. */
function everySome({ xyz, order, blocks: { of, count }, paper }: OrderedPixels, stride: number): OrderedPixels {
  const n = Math.ceil(order.length / stride);
  const own = new Float32Array(3 * n);
  const block = new Int32Array(n);
  const inOrder = new Int32Array(n);
  for (let from = 0; from < n; from += CHUNK) {
    takeSome(xyz, order, of, stride, from, Math.min(n, from + CHUNK), own, block, inOrder);
  }
  const blocks = { of: block, count };
  if (typeof paper === 'number') return { xyz: own, order: inOrder, blocks, paper };
  const thinness = new Float32Array(n);
  for (let k = 0; k < n; k++) thinness[k] = paper.thinness[order[k * stride]];
  return { xyz: own, order: inOrder, blocks, paper: { ...paper, thinness } };
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 1024;

function takeSome(
  xyz: Float32Array,
  order: Int32Array,
  of: Int32Array,
  stride: number,
  from: number,
  to: number,
  own: Float32Array,
  block: Int32Array,
  inOrder: Int32Array,
): void {
  for (let k = from; k < to; k++) {
    const pixel = order[k * stride];
    for (let c = 0; c < 3; c++) own[3 * k + c] = xyz[3 * pixel + c];
    block[k] = of[pixel];
    inOrder[k] = k;
  }
}

/** Mean colours of the pixels about the two percentiles, each pixel weighted by how often its block was drawn. */
function endsOf({ xyz, order, blocks: { of }, paper }: OrderedPixels, weight: Float64Array): Ends {
  const total = totalWeight(order, of, weight);
  const dark = meanAbout(xyz, order, of, weight, DARK * total, ABOUT * total, 1);
  const light = meanAbout(xyz, order, of, weight, (1 - LIGHT) * total, ABOUT * total, -1);
  if (typeof paper === 'number') return { dark, light, apart: 0 };
  const { thinness } = paper;
  return {
    dark,
    light,
    apart:
      thinness[order[placeOf(order, of, weight, (1 - DARK) * total)]] -
      thinness[order[placeOf(order, of, weight, DARK * total)]],
  };
}

/** Where in the order so much weight has passed. */
function placeOf(order: Int32Array, of: Int32Array, weight: Float64Array, passed: number): number {
  let sum = 0;
  for (let r = 0; r < order.length; r++) {
    sum += weight[of[order[r]]];
    if (sum >= passed) return r;
  }
  return order.length - 1;
}

function totalWeight(order: Int32Array, of: Int32Array, weight: Float64Array): number {
  let total = 0;
  for (let r = 0; r < order.length; r++) total += weight[of[order[r]]];
  return total;
}

/** Mean colour of what lies `about` either side of `middle`, both in weights passed from the dark end (way 1) or from the light one (−1). */
function meanAbout(
  xyz: Float32Array,
  order: Int32Array,
  of: Int32Array,
  weight: Float64Array,
  middle: number,
  about: number,
  way: 1 | -1,
): LabD50 {
  const [from, to] = [middle - about, middle + about];
  let [x, y, z] = [0, 0, 0];
  let used = 0;
  let passed = 0;
  for (let r = way > 0 ? 0 : order.length - 1; r >= 0 && r < order.length && passed < to; r += way) {
    const next = passed + weight[of[order[r]]];
    // A pixel that straddles the limit counts with the share of it that lies inside, so that few pixels still give both ends.
    const share = (next < to ? next : to) - (passed > from ? passed : from);
    if (share > 0) {
      const i = 3 * order[r];
      x += share * xyz[i];
      y += share * xyz[i + 1];
      z += share * xyz[i + 2];
      used += share;
    }
    passed = next;
  }
  return xyzToLab([x / used, y / used, z / used]);
}

/** What paper's scatter alone would show at this ink's own colour between the two ends, in what they are ordered by. */
function noiseFloor(ends: LightAndDark, paper: PaperScatter): number {
  // L* + 16 goes with the cube root of Y, so a relative scatter e of Y moves it by (L* + 16) e / 3.
  return 2 * Z90 * (typeof paper === 'number' ? ((middleOf(ends)[0] + 16) / 3) * paper : paper.noise);
}

/** Between the two ends, in what the pixels are ordered by. */
function wholeStep(ends: Ends, paper: PaperScatter): number {
  return typeof paper === 'number' ? ends.light[0] - ends.dark[0] : ends.apart;
}

/** The same without the paper's scatter, which adds in quadrature. */
function ownStep(ends: Ends, paper: PaperScatter): number {
  return Math.sqrt(Math.max(0, wholeStep(ends, paper) ** 2 - noiseFloor(ends, paper) ** 2));
}

function middleOf({ dark, light }: LightAndDark): LabD50 {
  return labD50((dark[0] + light[0]) / 2, (dark[1] + light[1]) / 2, (dark[2] + light[2]) / 2);
}

function hueStep(ends: LightAndDark): number | null {
  if (chroma(ends.light) < LEAST_CHROMA || chroma(ends.dark) < LEAST_CHROMA) return null;
  return hueDifferenceDeg(hueDeg(ends.dark), hueDeg(ends.light));
}
