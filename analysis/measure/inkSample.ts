/** The ink of one region ready to be measured: which pixels count, and their colours with the paper under them levelled. */
import { addTriples } from './addTriples.ts';
import { signalsToXyz } from '../calibrate/apply.ts';
import type { Ink } from '../locate/inkMask.ts';
import { smoothedPaperNoise } from '../locate/localPaper.ts';
import { regionInk } from '../locate/regionInk.ts';
import { strokeInterior } from '../locate/strokeInterior.ts';
import { smoothAlong } from '../raster/alongStroke.ts';
import { gatherTriples } from '../raster/gatherTriples.ts';
import { gaussianSmoothInside } from '../raster/gaussian.ts';
import type { Mask } from '../raster/raster.ts';
import type { Flag } from '../quantity.ts';
import type { BarePaper } from './barePaper.ts';
import { type CountedPixels, countedPixels } from './countedPixels.ts';
import { type EdgeMeasure, isBlurredThrough, isLost, measureEdges } from './edge/measureEdges.ts';
import { regionDoses, type RegionDoses } from './film/doses.ts';
import { type HiddenInk, hiddenInk } from './hiddenInk.ts';
import type { RegionInput } from './region.ts';
import { areSeveralSwabs } from './severalSwabs.ts';
import { putBack, takeNearest, unblur, unblurredBy } from './undoBlur.ts';

export interface InkSample {
  /** Pixels that count and are looked at, as indices into the region. */
  readonly indices: Int32Array;
  readonly counted: CountedPixels;
  /** How deep each counted pixel lies in its stroke, px. */
  readonly depths: Float32Array;
  /** XYZ per counted pixel, as scanned (for means). */
  readonly xyz: Float32Array;
  /** The same, smoothed so that fibres and noise do not count as shading. */
  readonly smoothXyz: Float32Array;
  /** Relative scatter that bare paper shows after the same smoothing, 1 = 100 %. */
  readonly paperNoise: number;
  /** Of ink that lightness does not order; null of other. */
  readonly hidden: HiddenInk | null;
  /** Mean linear signal of the ink on the reference paper. */
  readonly signal: readonly [number, number, number];
  /** XYZ of the pixels that stay when the edge moves inwards by one pixel (or, for a core line, when the width does). */
  readonly shiftedXyz: Float32Array;
  readonly flags: readonly Flag[];
  readonly ink: Ink;
  readonly interior: Mask;
  /** Null where none were found. */
  readonly crossings: Mask | null;
  /** Of strokes; null of a swab. */
  readonly edges: EdgeMeasure | null;
  /** What the film fit needs of it. */
  readonly doses: RegionDoses;
  /** Read along core lines, with the blur undone. */
  readonly narrow: boolean;
  /** Lines so narrow that where they lie on the grid, and not the ink, tells light from dark along them. */
  readonly tooNarrow: boolean;
  /** Counted pixels whose blur was undone. */
  readonly corrected: Int32Array;
  /** Counted pixels that lie within what was left out as doubled. */
  readonly besideTwo: readonly number[];
}

export interface SampleOptions {
  /** Sigma of the smoothing along strokes, mm: long enough to average fibres, short enough to keep a pooled end. @default 0.15 */
  readonly alongMm?: number;
  /** Sigma of the smoothing over a swab, mm: a box of 1 mm has the same spread as a Gaussian of 0.29 mm. @default 0.29 */
  readonly swabMm?: number;
}
export const SAMPLE_DEFAULTS = { alongMm: 0.15, swabMm: 0.29 } satisfies Required<SampleOptions>;

/** More clipped pixels than this among those that count taint the colour. */
const CLIPPED_SHARE = 0.005;
const FEW_PIXELS = 60;
/** A smaller share of the counted pixels than this is not the same sample with its edge moved. */
const LEAST_DEEPER = 0.1;

/** Light and dark along narrower lines than this are mostly the grid's: shading was off by 2 to 13 of its u at 2.3 px and less, by 2.4 at most from 2.6 px on (as LEAST_LINE_PX). */
const LEAST_SHADED_PX = 2.5;

type NoSample = { readonly flags: readonly Flag[] };

/** @returns flags alone where nothing can be told */
export function strokeSample(input: RegionInput, options: SampleOptions = {}): InkSample | NoSample {
  const used = { ...SAMPLE_DEFAULTS, ...options };
  const found = inkOf(input);
  if (!('ink' in found)) return found;
  const { ink, bare, paper } = found;
  const { dpi } = input.signal;
  const pxPerMm = dpi / 25.4;
  const blurPx = input.scannerBlurMm === null ? null : input.scannerBlurMm * pxPerMm;
  const inside = strokeInterior(ink, dpi, blurPx, {}, input.rooms);
  input.onLetGo?.();
  // A core line is one pixel wide: all of it is looked at.
  const counted = countedPixels(inside.interior, inside.narrow ? 0 : dpi);
  const { indices } = counted;
  if (indices.length === 0) return { flags: [...input.scanFlags, 'below-resolution'] };
  const depths = gatherDepths(ink.depthPx, indices);
  const flags = otherMarks(ink);
  if (inside.narrow) flags.push('blur-corrected');
  if (inside.narrow && inside.widthPx < 3) flags.push('below-resolution');
  const crossings = inside.crossings.data.includes(1) ? inside.crossings : null;
  if (crossings) flags.push('crossings-left-out');
  const { widthPx: w, heightPx: h } = ink.mask;
  const sigmaPx = used.alongMm * pxPerMm;
  const { ratio } = ink;
  // While the ratio is still as scanned: edges are read from its blur, which is undone next.
  const edges = measureEdges(ink, inside, input, [...flags, ...pixelFlags(counted, input)]);
  // A coarse scan's blur widens what counts as ink; where the edges truly lie tells how few pixels a stroke has.
  if (inside.narrow && !flags.includes('below-resolution') && (edges.linePx ?? 0) < 3) flags.push('below-resolution');
  if (isBlurredThrough(edges) && !flags.includes('below-resolution')) flags.push('below-resolution');
  if (edges.isSharpened) flags.push('sharpened');
  if (inside.narrow && isLost(edges.linePx)) return { flags: [...input.scanFlags, ...flags] };
  input.onLetGo?.();
  const asScanned = inside.narrow ? gatherTriples(ratio, indices) : null;
  const { besideTwo } = inside;
  const scanned = besideTwo && takeNearest(ratio, besideTwo.blurred, besideTwo.nearest);
  // Well inside a stroke nothing was paled.
  unblur(ratio, inside.crestPixels, inside.coreFraction);
  const smoothRatio = inside.narrow
    ? gatherTriples(gaussianSmoothInside(ratio, 3, inside.interior.data, w, h, sigmaPx), indices)
    : smoothAlong(ratio, inside.interior, indices, inside.direction, sigmaPx);
  // A core line has no pixels farther in: there the edge's place enters through the width that blur is undone for.
  const shiftedRatio = asScanned
    ? unblurredBy(asScanned, indices, (p) => inside.coreFraction(p, 0.5))
    : gatherTriples(ratio, deeper(indices, depths));
  const ownRatio = gatherTriples(ratio, indices);
  // What lies twice is told from the scan as it is.
  if (scanned) putBack(ratio, besideTwo.blurred, scanned);
  const signal = meanSignal(ownRatio, paper);
  const paperNoise = smoothedPaperNoise(ink, bare, sigmaPx) ?? fallbackNoise(input);
  // Before the ratios turn into colours in their own room.
  const doses = dosesOf(ownRatio, smoothRatio, indices, paperNoise, input);
  const hidden = hiddenInk({ doses, smoothRatio, paperNoise, sigmaPx, bothWays: false }, found, input);
  return {
    indices,
    counted,
    depths,
    xyz: inkColours(ownRatio, paper, input),
    smoothXyz: inkColours(smoothRatio, paper, input),
    signal,
    shiftedXyz: inkColours(shiftedRatio, paper, input),
    paperNoise,
    hidden,
    flags: [...input.scanFlags, ...flags, ...pixelFlags(counted, input)],
    ink,
    interior: inside.interior,
    crossings,
    edges,
    doses,
    narrow: inside.narrow,
    tooNarrow: inside.narrow && (edges.linePx ?? inside.widthPx) < LEAST_SHADED_PX,
    corrected: inside.crestPixels,
    besideTwo: besideTwo?.added ?? [],
  };
}

/** @returns as of strokes; a swab has no skeleton, no crossings and no core lines */
export function swabSample(input: RegionInput, options: SampleOptions = {}): InkSample | NoSample {
  const used = { ...SAMPLE_DEFAULTS, ...options };
  const found = inkOf(input);
  if (!('ink' in found)) return found;
  const { ink, bare, paper } = found;
  const pxPerMm = input.signal.dpi / 25.4;
  // Brush marks run dry at a swab's rim: half a millimetre of it does not count as the swab's own colour.
  const depth = Math.max(2, ink.edgeWidthPx ?? 2, 0.5 * pxPerMm);
  const data = new Uint8Array(ink.depthPx.length);
  for (let i = 0; i < data.length; i++) if (ink.depthPx[i] >= depth) data[i] = 1;
  const interior: Mask = { data, widthPx: ink.mask.widthPx, heightPx: ink.mask.heightPx };
  const counted = countedPixels(interior, input.signal.dpi);
  const { indices } = counted;
  if (indices.length === 0) return { flags: [...input.scanFlags, 'below-resolution'] };
  const depths = gatherDepths(ink.depthPx, indices);
  const several: Flag[] = areSeveralSwabs(ink.ratio, interior, input) ? ['several-swabs'] : [];
  const ratio = gatherTriples(ink.ratio, indices);
  const sigmaPx = used.swabMm * pxPerMm;
  const smooth = gaussianSmoothInside(ink.ratio, 3, data, interior.widthPx, interior.heightPx, sigmaPx);
  const signal = meanSignal(ratio, paper);
  const smoothRatio = gatherTriples(smooth, indices);
  const paperNoise = patchNoise(ink, bare, sigmaPx) ?? fallbackNoise(input) * 0.5;
  // Before the ratios turn into colours in their own room.
  const doses = dosesOf(ratio, smoothRatio, indices, paperNoise, input);
  const hidden = hiddenInk({ doses, smoothRatio, paperNoise, sigmaPx, bothWays: true }, found, input);
  return {
    indices,
    counted,
    depths,
    xyz: inkColours(ratio, paper, input),
    signal,
    smoothXyz: inkColours(smoothRatio, paper, input),
    shiftedXyz: inkColours(gatherTriples(ink.ratio, deeper(indices, depths)), paper, input),
    paperNoise,
    hidden,
    flags: [...input.scanFlags, ...otherMarks(ink), ...several, ...pixelFlags(counted, input)],
    ink,
    interior,
    crossings: null,
    edges: null,
    doses,
    narrow: false,
    tooNarrow: false,
    corrected: new Int32Array(0),
    besideTwo: [],
  };
}

function otherMarks(ink: Ink): Flag[] {
  return ink.otherMarksPx > 0 ? ['other-marks-left-out'] : [];
}

function inkOf(input: RegionInput): { ink: Ink; bare: Uint8Array; paper: BarePaper } | NoSample {
  if (input.paper === null || input.bare === null) return { flags: [...input.scanFlags, 'no-bare-paper'] };
  const found = regionInk(input.signal, input.paper, input);
  return found ? { ...found, paper: input.bare } : { flags: [...input.scanFlags, 'no-ink'] };
}

function dosesOf(
  ratio: Float32Array,
  smoothRatio: Float32Array,
  indices: Int32Array,
  paperNoise: number,
  { bare, signal }: RegionInput,
): RegionDoses {
  const clipped = new Uint8Array(indices.length);
  for (let from = 0; from < indices.length; from += CHUNK) gatherMarks(signal.clipped, indices, from, clipped);
  return regionDoses({ ratio, smoothRatio, clipped, paper: bare!.signal, paperNoise });
}

function gatherMarks(marks: Uint8Array, indices: Int32Array, from: number, out: Uint8Array): void {
  for (let k = from, end = Math.min(indices.length, from + CHUNK); k < end; k++) out[k] = marks[indices[k]];
}

function meanSignal(ratio: Float32Array, paper: BarePaper): readonly [number, number, number] {
  const sum = new Float64Array(3);
  for (let from = 0; from < ratio.length; from += 3 * CHUNK) {
    addTriples(sum, ratio, from, Math.min(ratio.length, from + 3 * CHUNK));
  }
  const n = ratio.length / 3;
  const [r, g, b] = paper.signal;
  return [(sum[0] / n) * r, (sum[1] / n) * g, (sum[2] / n) * b];
}

/** So many pixels at a time: what is called often is soon compiled, and has nothing behind it that was not yet run by then. */
const CHUNK = 1024;

/** Signal over paper → XYZ as it would be on the reference paper, in the same array. */
export function inkColours(ratio: Float32Array, paper: BarePaper, input: RegionInput): Float32Array {
  const [r, g, b] = paper.signal;
  for (let from = 0; from < ratio.length; from += 3 * CHUNK) {
    timesPaper(ratio, from, Math.min(ratio.length, from + 3 * CHUNK), r, g, b);
  }
  signalsToXyz(ratio, input.calibration, ratio);
  return ratio;
}

function timesPaper(ratio: Float32Array, from: number, to: number, r: number, g: number, b: number): void {
  for (let i = from; i < to; i += 3) {
    ratio[i] = Math.max(0, ratio[i] * r);
    ratio[i + 1] = Math.max(0, ratio[i + 1] * g);
    ratio[i + 2] = Math.max(0, ratio[i + 2] * b);
  }
}

/** Of so many pixels the shallowest are strays (a speck, a hole in the mask) and tell nothing of where the counted ink begins. */
const STRAYS = 0.02;
const DEPTH_STEP = 0.25;

/** Depth at which the counted ink begins, px. @param depths Of all counted pixels. */
export function shallowestDepth(depths: Float32Array): number {
  const counts = new Int32Array(256);
  for (let from = 0; from < depths.length; from += CHUNK) countDepths(depths, from, counts);
  let passed = 0;
  let bin = 0;
  while (bin < 255 && passed + counts[bin] <= STRAYS * depths.length) passed += counts[bin++];
  return bin * DEPTH_STEP;
}

function countDepths(depths: Float32Array, from: number, counts: Int32Array): void {
  for (let k = from, end = Math.min(depths.length, from + CHUNK); k < end; k++) {
    counts[Math.min(255, Math.floor(depths[k] / DEPTH_STEP))]++;
  }
}

/** Those that lie one pixel deeper than the shallowest; all when hardly any does. */
function deeper(indices: Int32Array, depths: Float32Array): Int32Array {
  const shallowest = shallowestDepth(depths);
  const kept = new Int32Array(indices.length);
  let count = 0;
  for (let from = 0; from < indices.length; from += CHUNK) {
    count = addDeeper(indices, depths, from, shallowest + 1, kept, count);
  }
  return count >= Math.max(FEW_PIXELS, LEAST_DEEPER * indices.length) ? kept.subarray(0, count) : indices;
}

/** @returns how many are kept then */
function addDeeper(
  indices: Int32Array,
  depths: Float32Array,
  from: number,
  least: number,
  kept: Int32Array,
  before: number,
): number {
  let count = before;
  for (let k = from, end = Math.min(indices.length, from + CHUNK); k < end; k++) {
    if (depths[k] >= least) kept[count++] = indices[k];
  }
  return count;
}

/** Once for all that asks for them: a region's pixels lie far apart in memory. */
function gatherDepths(depthPx: Float32Array, indices: Int32Array): Float32Array {
  const out = new Float32Array(indices.length);
  for (let from = 0; from < indices.length; from += CHUNK) gatherOnes(depthPx, indices, from, out);
  return out;
}

function gatherOnes(data: Float32Array, indices: Int32Array, from: number, out: Float32Array): void {
  for (let k = from, end = Math.min(indices.length, from + CHUNK); k < end; k++) out[k] = data[indices[k]];
}

function pixelFlags({ indices, all }: CountedPixels, input: RegionInput): Flag[] {
  let clipped = 0;
  for (let from = 0; from < indices.length; from += CHUNK) clipped += sumAt(input.signal.clipped, indices, from);
  const flags: Flag[] = [];
  const paperClipped = (input.paper?.clippedShare ?? 0) > CLIPPED_SHARE;
  if (paperClipped || clipped > CLIPPED_SHARE * indices.length) flags.push('clipped');
  if (all.length < FEW_PIXELS) flags.push('few-pixels');
  return flags;
}

function sumAt(values: Uint8Array, indices: Int32Array, from: number): number {
  let sum = 0;
  for (let k = from, end = Math.min(indices.length, from + CHUNK); k < end; k++) sum += values[indices[k]];
  return sum;
}

/** No bare paper in the box: the page's own pixel noise, which the smoothing at least halves. */
/**
 * Relative scatter of bare paper after smoothing both ways. Beside a swab there is seldom room for that, so it is told by lines: what a line leaves of the scatter, a
 * line across leaves of it once more.
 */
function patchNoise(ink: Ink, bare: Uint8Array, sigmaPx: number): number | null {
  const line = smoothedPaperNoise(ink, bare, sigmaPx);
  const fine = smoothedPaperNoise(ink, bare, 0);
  return line !== null && fine !== null && fine > 0 ? line * Math.min(1, line / fine) : null;
}

function fallbackNoise(input: RegionInput): number {
  const noise = input.paper?.pixelNoise ?? [0, 0, 0];
  return (noise[0] + noise[1] + noise[2]) / 6;
}
