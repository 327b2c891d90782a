/** A region of ink measured: its colour, its density, and how far light and dark lie apart within it. */
import { colourUncertainty, differenceUncertainty } from '../calibrate/uncertainty.ts';
import { insideTargetGamut } from '../calibrate/apply.ts';
import { deltaE2000 } from '../colour/deltaE.ts';
import { type Xyz, chroma, xyzToLab } from '../colour/lab.ts';
import type { Flag, LabValue, Quantity, QuantityName, Subject } from '../quantity.ts';
import { seedFromText } from '../seededRandom.ts';
import type { BarePaper } from './barePaper.ts';
import { coloursBesideSheen } from './besideSheen.ts';
import type { InkDoses } from './film/inkDoses.ts';
import { ownEnds } from './film/ownEnds.ts';
import { type InkSample, shallowestDepth, strokeSample, swabSample } from './inkSample.ts';
import { colourQuantities, spreadQuantities, withLight } from './inkQuantities.ts';
import type { EdgeDetail } from './edge/edgeDetail.ts';
import { noEdges } from './edge/edgeQuantities.ts';
import { EDGE_METHODS } from './edge/edgeQuantity.ts';
import { markEdges } from './edge/markEdges.ts';
import { LAYERING_METHOD, layering } from './layering.ts';
import { type Lightness, lightnessOf } from './lightness.ts';
import {
  type Blocks,
  BOOTSTRAP_DEFAULTS,
  blocksOf,
  diagonalRoot,
  type MeasuredColour,
  measuredColour,
} from './measuredColour.ts';
import type { RegionInput } from './region.ts';
import { SHEEN_METHOD } from './sheen.ts';
import { sampleSheen } from './sampleSheen.ts';
import { type LightAndDark, shadingOver, shadingStatistic, type ShadingStatistic } from './shading.ts';
import type { Mask } from '../raster/raster.ts';
import { triple } from '../triple.ts';

/** What the pairs (nibs, papers) need of one region, and what a picture of it needs. */
export interface InkMeasure {
  readonly quantities: readonly Quantity[];
  /** Null when there was no ink to measure. */
  readonly ink: MeasuredInk | null;
  /** Per pixel of the region, what it counted as (inkMarks); null when there was no ink. */
  readonly marks: Uint8Array | null;
  /** Edges of strokes for pictures and plots; null of a swab and where none could be told. */
  readonly edge: EdgeDetail | null;
  /** Null when there was no ink to measure, or its lines are too narrow for it. */
  readonly spread: InkSpread | null;
  /** What the film fit needs of it; null when there was no ink to measure. */
  readonly doses: InkDoses | null;
}

/** How light and dark lie within one region: what its shading (or a swab's variation) is read from. */
export interface InkSpread extends LightAndDark {
  /** Of the counted pixels after the same smoothing. */
  readonly lightness: Lightness;
}

export interface MeasuredInk {
  readonly region: string;
  readonly colour: MeasuredColour;
  /** Change of Lab when the edge moves by one pixel. */
  readonly placement: LabValue;
  /** Relative standard uncertainty of the light's level at this region. */
  readonly light: number;
  readonly paper: BarePaper;
  readonly flags: readonly Flag[];
}

/** A swab was looked at nearly whole, and its blocks differ by design: as for shading.ts only so much of their scatter is a draw of what might have been. */
const SWAB_UNSEEN = 0.5;
/** Edges are placed within half a pixel, so of what one pixel changes half counts (study writing). */
const EDGE_SHIFT = 0.5;

/** Classes of pixels in `marks`. */
/** `halo` lies outside the ink, `hair` beyond its smooth edge; the others are ink. */
export const INK_MARKS = {
  none: 0,
  ink: 1,
  counted: 2,
  dark: 3,
  light: 4,
  doubleLayer: 5,
  sheen: 6,
  halo: 7,
  hair: 8,
} as const;

export const INK_METHODS = {
  inkColour: 'inkColour/11',
  inkDensity: 'inkDensity/11',
  shading: 'shading/13',
  swabVariation: 'swabVariation/11',
  layering: LAYERING_METHOD,
  ...EDGE_METHODS,
  sheen: SHEEN_METHOD,
} as const;

/** Of a region of kind `strokes`; without a value its quantities are null and say why. */
export function measureStrokes(input: RegionInput): InkMeasure {
  return measureInk(input, strokeSample({ ...input, breadth: 'lines' }), 'shading');
}

/** Of a region of kind `swab`: no edges, no crossings. */
export function measureSwab(input: RegionInput): InkMeasure {
  const sample = swabSample({ ...input, breadth: 'areas' });
  const isLines =
    'ink' in sample
      ? sample.counted.all.length < LEAST_OF_SWAB * inkPixels(sample.ink.mask)
      : sample.flags.includes('below-resolution');
  return measureInk(input, isLines ? { flags: [...sample.flags, 'no-swab'] } : sample, 'swabVariation');
}

/** Of lines little lies as deep as a swab is read: of 0.8 mm a hundredth, where they cross, of 1.1 mm up to 0.23; of a swab of 2 mm half. */
const LEAST_OF_SWAB = 0.25;

function inkPixels({ data }: Mask): number {
  let count = 0;
  for (let from = 0; from < data.length; from += CHUNK) count += sumOf(data, from);
  return count;
}

function sumOf(data: Uint8Array, from: number): number {
  let sum = 0;
  for (let i = from, end = Math.min(data.length, from + CHUNK); i < end; i++) sum += data[i];
  return sum;
}

type Spread = 'shading' | 'swabVariation';

function measureInk(input: RegionInput, sample: ReturnType<typeof strokeSample>, spread: Spread): InkMeasure {
  const subject: Subject = { regions: [input.id] };
  if (!('ink' in sample)) {
    return {
      quantities: nothingToTell(subject, spread, sample.flags),
      ink: null,
      marks: null,
      edge: null,
      spread: null,
      doses: null,
    };
  }
  const { widthPx, dpi } = input.signal;
  const blocks = blocksOf(sample.indices, widthPx, (BOOTSTRAP_DEFAULTS.blockMm * dpi) / 25.4);
  const seed = seedFromText(input.id);
  const drawn = measuredColour(sample.xyz, blocks, seed);
  const colour = sample.edges ? drawn : { ...drawn, covariance: drawn.covariance.map((v) => SWAB_UNSEEN ** 2 * v) };
  const found = [...sample.flags];
  if (!insideTargetGamut(sample.signal, input.calibration)) found.push('outside-target-gamut');
  const shiftedLab = xyzToLab(meanXyz(sample.shiftedXyz));
  const placement = triple((c) => EDGE_SHIFT * Math.abs(shiftedLab[c] - colour.lab[c]));
  const sheen = sampleSheen(sample, input, blocks, subject, found, seed);
  const flags: Flag[] = sheen.near && !sample.tooNarrow ? [...found, 'with-sheen'] : found;
  const ink: MeasuredInk = {
    region: input.id,
    colour,
    placement,
    light: (input.paper?.unevenness ?? 0) / Math.sqrt(3),
    paper: input.bare!,
    flags,
  };
  const statistic = shadingStatistic(sample.smoothXyz, blocks, sample.hidden ?? sample.paperNoise, seed);
  const shifted = shadingOfShifted(sample, statistic, blocks);
  // Along core lines a width that changes by half a pixel passes for another dose.
  const coreDE = sample.narrow ? deltaE2000(shiftedLab, colour.lab) : 0;
  const twice = spread === 'shading' ? layering(sample, input, colour, subject, flags, seed) : null;
  return {
    quantities: [
      ...mappedColour(ink, input, subject),
      ...(sample.tooNarrow
        ? noShading(subject, flags)
        : mappedSpread(statistic, { shifted, coreDE }, input, subject, flags, spread)),
      ...(twice ? [twice.quantity] : []),
      ...(sample.edges?.quantities ?? []),
      sample.tooNarrow ? nothing(subject, flags)('sheen', '%', INK_METHODS.sheen) : sheen.quantity,
    ],
    ink,
    marks: marksOf(sample, statistic, sample.tooNarrow ? null : sheen.pixels, dpi / 25.4),
    edge: sample.edges?.detail ?? null,
    spread: sample.tooNarrow
      ? null
      : { dark: statistic.dark, light: statistic.light, lightness: lightnessOf(sample.smoothXyz) },
    doses: {
      ...sample.doses,
      ...ownEnds(sample.hidden ?? sample.doses, statistic, sample.hidden),
      ...(twice?.double && { double: twice.double }),
      ...(sheen.near && !sample.tooNarrow && { beside: coloursBesideSheen(sheen.near, sample, ink.paper.xyz) }),
      narrow: sample.narrow,
      tooNarrow: sample.tooNarrow,
      uRepeat: statistic.uRepeat,
    },
  };
}

function mappedColour(ink: MeasuredInk, input: RegionInput, subject: Subject): Quantity[] {
  const { lab, covariance, xyz } = ink.colour;
  const own = colourUncertainty(lab, input.calibration.calibration);
  return colourQuantities({
    lab,
    luminance: xyz[1],
    paperLuminance: ink.paper.xyz[1],
    repeatability: diagonalRoot(covariance),
    calibration: withLight(own, lab, ink.light),
    calibrationL: own[0],
    placement: ink.placement,
    subject,
    flags: ink.flags,
    methods: INK_METHODS,
  });
}

function mappedSpread(
  s: ShadingStatistic,
  { shifted, coreDE }: { readonly shifted: Pick<ShadingStatistic, 'dE00' | 'dL'>; readonly coreDE: number },
  input: RegionInput,
  subject: Subject,
  flags: readonly Flag[],
  name: Spread,
): Quantity[] {
  const calibration = differenceUncertainty(s.dark, s.light, input.calibration.calibration, 'one paper');
  // ΔE00 shrinks dark L* steps by up to 1.75 (its S_L), so the same share of doubt is wider in L*.
  const perDE = s.dE00 > 0.2 ? Math.min(2, s.dL / s.dE00) : 1;
  const C = (chroma(s.dark) + chroma(s.light)) / 2;
  return spreadQuantities({
    name,
    ...s,
    calibration: {
      dE00: calibration,
      dL: calibration * perDE,
      // ΔH* in ΔE00 is about divided by 1 + 0.015 C*: turned back into an angle.
      dHueDeg: ((calibration * (1 + 0.015 * C)) / Math.max(C, 1)) * (180 / Math.PI),
    },
    placement: {
      dE00: Math.hypot(EDGE_SHIFT * (shifted.dE00 - s.dE00), coreDE),
      dL: Math.hypot(EDGE_SHIFT * (shifted.dL - s.dL), coreDE * perDE),
    },
    subject,
    flags,
    method: INK_METHODS[name],
  });
}

function nothing(subject: Subject, flags: readonly Flag[]) {
  return (quantity: QuantityName, unit: Quantity['unit'], method: string): Quantity => {
    return { quantity, subject, value: null, unit, u: null, flags, method };
  };
}

/** Of lines that are too narrow for it (inkSample.ts). */
function noShading(subject: Subject, flags: readonly Flag[]): Quantity[] {
  const none = nothing(subject, flags);
  return [
    none('shading', 'ΔE00', INK_METHODS.shading),
    none('shading.dL', 'ΔL*', INK_METHODS.shading),
    none('shading.dHue', '°', INK_METHODS.shading),
  ];
}

function nothingToTell(subject: Subject, spread: Spread, flags: readonly Flag[]): Quantity[] {
  const none = nothing(subject, flags);
  return [
    none('inkColour', 'Lab', INK_METHODS.inkColour),
    none(spread, 'ΔE00', INK_METHODS[spread]),
    ...(spread === 'shading' ? [none('layering', 'ΔE00', INK_METHODS.layering), ...noEdges(subject, flags)] : []),
    none('sheen', '%', INK_METHODS.sheen),
  ];
}

/** Fewer pixels than this, and a smaller share of all, have no shading of their own. */
const LEAST_SHIFTED = 60;
const LEAST_SHIFTED_SHARE = 0.1;

function shadingOfShifted(
  sample: InkSample,
  { order }: ShadingStatistic,
  blocks: Blocks,
): Pick<ShadingStatistic, 'dE00' | 'dL'> {
  const { depths, smoothXyz, paperNoise, hidden } = sample;
  // The pixels that stay when the edge moves in by one pixel; a core line has none and keeps them all.
  const kept = deepOnes(order, depths, shallowestDepth(depths) + 1);
  const few = sample.narrow || kept.length < Math.max(LEAST_SHIFTED, LEAST_SHIFTED_SHARE * order.length);
  return shadingOver(smoothXyz, few ? order : kept, blocks, hidden ?? paperNoise);
}

function deepOnes(order: Int32Array, depths: Float32Array, least: number): Int32Array {
  const kept = new Int32Array(order.length);
  let count = 0;
  for (let from = 0; from < order.length; from += CHUNK) count = addDeep(order, from, depths, least, kept, count);
  return kept.subarray(0, count);
}

/** So many pixels at a time: what is called often is soon compiled, and has nothing behind it that was not yet run by then. */
const CHUNK = 1024;

/** @returns how many are kept then */
function addDeep(
  order: Int32Array,
  from: number,
  depths: Float32Array,
  least: number,
  kept: Int32Array,
  before: number,
): number {
  let count = before;
  for (let r = from, end = Math.min(order.length, from + CHUNK); r < end; r++) {
    if (depths[order[r]] >= least) kept[count++] = order[r];
  }
  return count;
}

/** @param sheen null: neither light and dark nor sheen are told */
function marksOf(sample: InkSample, { ends }: ShadingStatistic, sheen: Int32Array | null, pxPerMm: number): Uint8Array {
  const { ink, edges, crossings, interior, indices, counted } = sample;
  const marks = ink.mask.data.slice();
  if (edges?.detail) markEdges(marks, edges.detail, ink, pxPerMm);
  if (crossings) markDoubled(marks, crossings.data);
  markAll(marks, counted.all, INK_MARKS.counted);
  if (sheen === null) return marks;
  markEnds(marks, interior, indices, counted.stepPx, ends);
  for (const k of sheen) markSquare(marks, interior, indices[k], counted.stepPx, INK_MARKS.sheen);
  return marks;
}

const { dark: DARK, light: LIGHT, doubleLayer: DOUBLE } = INK_MARKS;

// Each loop over many pixels by itself: behind it there is nothing that was not yet run when it was compiled.

function markDoubled(marks: Uint8Array, doubled: Uint8Array): void {
  for (let i = 0; i < marks.length; i++) if (doubled[i] !== 0 && marks[i] !== 0) marks[i] = DOUBLE;
}

function markAll(marks: Uint8Array, pixels: Int32Array, as: number): void {
  for (let k = 0; k < pixels.length; k++) marks[pixels[k]] = as;
}

function markEnds(marks: Uint8Array, interior: Mask, indices: Int32Array, stepPx: number, ends: Uint8Array): void {
  for (let k = 0; k < indices.length; k++) {
    if (ends[k] !== 0) markSquare(marks, interior, indices[k], stepPx, ends[k] === 1 ? DARK : LIGHT);
  }
}

/** A pixel that is looked at stands for its square. */
function markSquare(marks: Uint8Array, { data, widthPx, heightPx }: Mask, i: number, stepPx: number, as: number): void {
  if (stepPx === 1) {
    marks[i] = as;
    return;
  }
  const left = stepPx * Math.floor((i % widthPx) / stepPx);
  const top = stepPx * Math.floor(Math.floor(i / widthPx) / stepPx);
  for (let y = top; y < Math.min(heightPx, top + stepPx); y++) {
    for (let p = y * widthPx + left; p < y * widthPx + Math.min(widthPx, left + stepPx); p++)
      if (data[p]) marks[p] = as;
  }
}

function meanXyz(xyz: Float32Array): Xyz {
  let [x, y, z] = [0, 0, 0];
  for (let i = 0; i < xyz.length; i += 3) {
    x += xyz[i];
    y += xyz[i + 1];
    z += xyz[i + 2];
  }
  const n = xyz.length / 3;
  return [x / n, y / n, z / n];
}
