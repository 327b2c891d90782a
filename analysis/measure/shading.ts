/** How light and dark lie apart within one sample: the 10th and 90th percentile of L* and the colours there. */
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, chroma, hueDeg, hueDifferenceDeg, labD50, xyzToLab } from '../colour/lab.ts';
import { sortedBy } from '../raster/sortedBy.ts';
import type { Blocks } from './measuredColour.ts';
import { deviation } from '../scatter.ts';
import { nextRandom, randomState } from '../seededRandom.ts';

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
  /** The ink's own step over the step between the ends as they are, both ΔE00. */
  readonly ownShare: number;
  /** Standard deviations of the three by the block bootstrap, as far as the sample was not seen whole, and the doubt of the paper's scatter. */
  readonly uRepeat: { readonly dE00: number; readonly dL: number; readonly dHueDeg: number };
  /** Which of the given pixels are among the lightest and darkest tenth, for overlays: 1 dark end, 2 light end. */
  readonly ends: Uint8Array;
  /** The given pixels from dark to light. */
  readonly order: Int32Array;
}

/** Percentiles that stand for dark and light, and how many points about them are averaged (docs/measures.md, `shading`). */
const DARK = 0.1;
const LIGHT = 0.9;
const ABOUT = 0.025;
/** Below this chroma a hue angle says nothing. */
const LEAST_CHROMA = 2;
/** For a normal scatter the 10th and 90th percentile lie this many standard deviations from the mean. */
const Z90 = 1.2816;
const BOOTSTRAP_PIXELS = 8000;
/** Relative standard uncertainty of the paper's scatter beneath ink, known from the bare paper beside it; common practice, no source. */
const FLOOR_DOUBT = 0.1;
/** A smaller share of a step than this is hidden by that doubt. */
const LEAST_SHARE = Math.sqrt(FLOOR_DOUBT);
/**
 * A sample as it lies there was looked at nearly whole: of what its blocks scatter when drawn anew only the part that was left out (crossings, rims) is a draw of
 * what might have been, and that is like them for a quarter of the variance (study writing).
 */
const UNSEEN_ROOT = 0.5;

/**
 * @param xyz Interleaved, one triple a pixel, already smoothed. @param paperNoise Relative scatter of bare paper after the
 * same smoothing; ink over fibres scatters by the same factor.
 */
export function shadingStatistic(
  xyz: Float32Array,
  blocks: Blocks,
  paperNoise: number,
  seed: number,
  draws = 100,
): ShadingStatistic {
  const order = sortedBy(luminanceOf(xyz));
  const once = new Float64Array(blocks.count).fill(1);
  const whole = endsOf(xyz, order, blocks, once);
  const own = stepsOf(whole, paperNoise);
  const doubt = doubtOfFloor(whole, paperNoise);
  const random = randomState(seed);
  // The scatter between draws needs no more than this many pixels.
  const some = everySome(xyz, order, blocks, Math.max(1, Math.floor(order.length / BOOTSTRAP_PIXELS)));
  const draw: Steps[] = [];
  const weight = new Float64Array(blocks.count);
  for (let d = 0; d < draws; d++) draw.push(drawnSteps(some, weight, random, paperNoise));
  return {
    ...whole,
    ...own,
    ownShare: own.dE00 / Math.max(1e-6, deltaE2000(whole.dark, whole.light)),
    uRepeat: {
      dE00: Math.hypot(UNSEEN_ROOT * deviation(draw.map((v) => v.dE00)), doubt.dE00),
      dL: Math.hypot(UNSEEN_ROOT * deviation(draw.map((v) => v.dL)), doubt.dL),
      dHueDeg: UNSEEN_ROOT * deviation(draw.flatMap((v) => v.dHueDeg ?? [])),
    },
    ends: markedEnds(order),
    order,
  };
}

interface Steps {
  readonly dE00: number;
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

function drawnSteps(some: SomePixels, weight: Float64Array, random: Int32Array, paperNoise: number): Steps {
  drawBlocks(weight, random);
  return stepsOf(endsOf(some.xyz, some.order, some.blocks, weight), paperNoise);
}

/** How often each block is drawn. */
function drawBlocks(weight: Float64Array, random: Int32Array): void {
  weight.fill(0);
  for (let k = 0; k < weight.length; k++) weight[Math.floor(nextRandom(random) * weight.length)]++;
}

function stepsOf(ends: LightAndDark, paperNoise: number): Steps {
  return inkSteps(ends, ownStep(ends, paperNoise));
}

/**
 * The ink's own steps. Sorted by L*, an end is light partly for its thin ink and partly for its paper: of a step D that holds the ink's d the share
 * (d/D)² is ink and the rest paper, which scales X, Y and Z alike. So a* and b* hold (d/D)² D where the ink has d: as much too little as paper orders the pixels.
 *
 * @param d The ink's own step in L*.
 */
function inkSteps(ends: LightAndDark, d: number): Steps {
  const D = Math.max(1e-6, ends.light[0] - ends.dark[0]);
  const share = Math.min(1, d / D);
  const by = Math.max(share, LEAST_SHARE);
  const [L, a, b] = middleOf(ends);
  const paper = (D * (1 - share * share)) / (L + 16);
  const da = (ends.light[1] - ends.dark[1] - paper * a) / by;
  const db = (ends.light[2] - ends.dark[2] - paper * b) / by;
  const dark = labD50(L - d / 2, a - da / 2, b - db / 2);
  const light = labD50(L + d / 2, a + da / 2, b + db / 2);
  return { dE00: deltaE2000(dark, light), dL: d, dHueDeg: hueStep({ dark, light }) };
}

/** Standard uncertainties of the steps from what is taken off being in doubt. */
function doubtOfFloor(ends: LightAndDark, paperNoise: number): { readonly dE00: number; readonly dL: number } {
  const floor = noiseFloor(ends, paperNoise);
  const d = ownStep(ends, paperNoise);
  // d² = D² − f², so u(d) = u(f) f/d; where d vanishes it may be as large as makes d² as large as its own doubt.
  const dL = (FLOOR_DOUBT * floor * floor) / Math.max(d, LEAST_SHARE * floor, 1e-6);
  const { dE00 } = inkSteps(ends, d);
  const beside = [Math.max(0, d - dL), d + dL].map((other) => Math.abs(inkSteps(ends, other).dE00 - dE00));
  return { dE00: Math.max(...beside), dL };
}

/** The same steps over a part of the pixels only. @param order Those, from dark to light. */
export function shadingOver(
  xyz: Float32Array,
  order: Int32Array,
  blocks: Blocks,
  paperNoise: number,
): { readonly dE00: number; readonly dL: number } {
  const ends = endsOf(xyz, order, blocks, new Float64Array(blocks.count).fill(1));
  return stepsOf(ends, paperNoise);
}

interface SomePixels {
  readonly xyz: Float32Array;
  readonly order: Int32Array;
  readonly blocks: Blocks;
}

/** Every so many-th pixel from dark to light, put together in that order. */
function everySome(xyz: Float32Array, order: Int32Array, { of, count }: Blocks, stride: number): SomePixels {
  const n = Math.ceil(order.length / stride);
  const own = new Float32Array(3 * n);
  const block = new Int32Array(n);
  const inOrder = new Int32Array(n);
  for (let from = 0; from < n; from += CHUNK) {
    takeSome(xyz, order, of, stride, from, Math.min(n, from + CHUNK), own, block, inOrder);
  }
  return { xyz: own, order: inOrder, blocks: { of: block, count } };
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
function endsOf(xyz: Float32Array, order: Int32Array, blocks: Blocks, weight: Float64Array): LightAndDark {
  const total = totalWeight(order, blocks.of, weight);
  return {
    dark: meanAbout(xyz, order, blocks.of, weight, DARK * total, ABOUT * total, 1),
    light: meanAbout(xyz, order, blocks.of, weight, (1 - LIGHT) * total, ABOUT * total, -1),
  };
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

/** L* between the two ends that paper's scatter alone would show at this ink's own colour. */
function noiseFloor(ends: LightAndDark, paperNoise: number): number {
  // L* + 16 goes with the cube root of Y, so a relative scatter e of Y moves it by (L* + 16) e / 3.
  return ((middleOf(ends)[0] + 16) / 3) * 2 * Z90 * paperNoise;
}

/** The step in L* without the paper's scatter, which adds in quadrature. */
function ownStep(ends: LightAndDark, paperNoise: number): number {
  const D = ends.light[0] - ends.dark[0];
  return Math.sqrt(Math.max(0, D * D - noiseFloor(ends, paperNoise) ** 2));
}

function middleOf({ dark, light }: LightAndDark): LabD50 {
  return labD50((dark[0] + light[0]) / 2, (dark[1] + light[1]) / 2, (dark[2] + light[2]) / 2);
}

function hueStep(ends: LightAndDark): number | null {
  if (chroma(ends.light) < LEAST_CHROMA || chroma(ends.dark) < LEAST_CHROMA) return null;
  return hueDifferenceDeg(hueDeg(ends.dark), hueDeg(ends.light));
}
