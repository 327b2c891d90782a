/** The back of a written page: what shows through (ghosting) and what came through (bleed-through). docs/measures.md, "The back of the page". */
import { signalsToXyz } from '../../calibrate/apply.ts';
import { differenceUncertainty } from '../../calibrate/uncertainty.ts';
import { labCurve, labD50 } from '../../colour/lab.ts';
import { findInk, type Ink } from '../../locate/inkMask.ts';
import { registerSheets, type Registration } from '../../locate/registerSheets.ts';
import type { Flag, Quantity, QuantityName, Unit } from '../../quantity.ts';
import { type GridMap, gridMapOf } from '../../raster/gridMap.ts';
import type { LinearRaster } from '../../raster/raster.ts';
import { seededRandom, seedFromText } from '../../seededRandom.ts';
import { combine } from '../uncertainty.ts';
import { verdict } from '../verdict.ts';
import { frontClasses, laidOnBack } from './behindInk.ts';
import { type Bleed, bleedThrough } from './bleedThrough.ts';
import { ghostAlone } from './ghostAlone.ts';
import { overPaperNear } from './paperNear.ts';
import { clippedFlag, luminance, medianOf } from './light.ts';
import { dotsAnywhere, measureNextSheet, NEXT_METHODS } from './nextSheet.ts';
import { CELL_MM, isBelieved, SURELY_UNMIRRORED } from './registered.ts';
import { GHOSTING_LIMITS, REVERSE_MARKS, type ReverseInput, type ReverseMeasure } from './reverseInput.ts';

export const REVERSE_METHODS = { ghosting: 'ghosting/7', bleedThrough: 'bleedThrough/7', ...NEXT_METHODS } as const;
/** %; common practice, no source. */
export const BLEED_LIMITS = [0.05, 0.5, 2] as const;

/**
 * `ghosting` and `bleedThrough` with their parts, or of the next sheet its dots; null with a flag where front and back cannot be laid over
 * each other.
 */
export function measureReverse(input: ReverseInput): ReverseMeasure {
  const { back, calibration, front } = input;
  if (front && settingsDiffer(front.scanFlags, input.scanFlags)) return nothing(input, ['settings-changed']);
  if (input.page === 'next') return measureNextSheet(input);
  const y = luminance(back, calibration);
  if (front === null) return alone(input, y);
  if (front.paper === null) return nothing(input, ['no-bare-paper']);
  const ink = findInk(front.signal, front.paper);
  if (ink === null) return nothing(input, ['no-ink']);
  const registration = registered(ink, front.signal, back, y);
  if (!isBelieved(registration)) {
    const shown = ghostAlone(y, back);
    // Nothing to lay the front over, and nothing to be seen, no dot either: that is an answer.
    const isClean = !shown.isThere && dotsAnywhere(y, back, densityOf(ink, front)).all.dots === 0;
    if (isClean) return { quantities: cleanBack(input, y, shown.noise), marks: null, registration };
    return { ...nothing(input, ['not-registered']), registration };
  }
  if (registration.place.turned === 'not') {
    const isSure = registration.correlation >= SURELY_UNMIRRORED;
    return { ...nothing(input, [isSure ? 'unmirrored' : 'not-registered']), registration };
  }
  const marks = laidOnBack(frontClasses(ink, front.signal.dpi), front.signal, back, registration.place);
  return { ...told(input, y, marks, densityOf(ink, front), front.region), registration };
}

/** One of the two was scanned as the target was, the other was not: their numbers cannot be held against each other. */
function settingsDiffer(one: readonly Flag[], other: readonly Flag[]): boolean {
  return one.includes('settings-changed') !== other.includes('settings-changed');
}

function registered(ink: Ink, front: LinearRaster, back: LinearRaster, y: Float32Array): Registration | null {
  const covered = Float32Array.from(ink.mask.data, (m, i) => (m ? Math.min(1, Math.max(0, ink.contrast[i])) : 0));
  const level = medianOf(y);
  const dark = y.map((v) => Math.min(0.5, 1 - v / level));
  return registerSheets(
    gridMapOf(covered, front.widthPx, front.heightPx, front.dpi, CELL_MM),
    withoutPeaks(gridMapOf(dark, back.widthPx, back.heightPx, back.dpi, CELL_MM)),
  );
}

/** Cells darker than the darkest twentieth begins at by more than this factor say no more than that: a few dots would else outweigh all lines. Tried on seeds below 1000. */
const PEAK = 2;

function withoutPeaks(map: GridMap): GridMap {
  const sorted = map.data.toSorted();
  const middle = sorted[sorted.length >> 1];
  const most = middle + PEAK * (sorted[Math.floor(0.95 * sorted.length)] - middle);
  return { ...map, data: map.data.map((v) => Math.min(most, v)) };
}

function told(
  input: ReverseInput,
  y: Float32Array,
  marks: Uint8Array,
  frontDensity: number | null,
  front: string | null,
): Omit<ReverseMeasure, 'registration'> {
  const { back } = input;
  const bare = marks.map((m) => (m === REVERSE_MARKS.bare ? 1 : 0));
  const ratio = overPaperNear(y, bare, back.widthPx, back.heightPx, back.dpi);
  const bleed =
    frontDensity === null ? null : bleedThrough(ratio, marks, back.widthPx, back.heightPx, back.dpi, frontDensity);
  bleed?.mask.forEach((m, i) => {
    if (m) marks[i] = REVERSE_MARKS.bleed;
  });
  const ghost = ghostOf(ratio, marks, back, seedFromText(input.id));
  const flags = [...input.scanFlags, ...clippedFlag(back), ...(front === null ? (['no-front'] as const) : [])];
  if (ghost === null) return { quantities: nothing(input, ['few-pixels']).quantities, marks };
  const level = meanWhere(y, bare);
  return {
    quantities: [
      ...ghostQuantities(input, level, ghost, flags),
      ...bleedQuantities(input, bleed, marks, back.dpi, flags),
    ],
    marks,
  };
}

interface Ghost {
  /** Y behind lines' middles over that of the paper next to them. */
  readonly ratio: number;
  readonly uRepeat: number;
  /** Change of it when the lines' edges lie as much further in as they may be off. */
  readonly placement: number;
}

const BLOCK_MM = 2;
const DRAWS = 200;
/** An edge found at half of its contrast, laid over the back, is off by so much of a pixel; a pixel would be far too wide (docs/study/show-through.md). */
const EDGE_PX = 0.35;

function ghostOf(ratio: Float32Array, marks: Uint8Array, back: LinearRaster, seed: number): Ghost | null {
  const { widthPx, dpi } = back;
  const blockPx = (BLOCK_MM * dpi) / 25.4;
  const across = Math.ceil(widthPx / blockPx);
  const sums = new Map<number, { sum: number; count: number }>();
  let sum = 0;
  let count = 0;
  let deep = 0;
  let deepCount = 0;
  for (let i = 0; i < ratio.length; i++) {
    if (marks[i] !== REVERSE_MARKS.behindCore || !(ratio[i] > 0)) continue;
    sum += ratio[i];
    count++;
    const inner =
      marks[i - 1] === REVERSE_MARKS.behindCore &&
      marks[i + 1] === REVERSE_MARKS.behindCore &&
      marks[i - widthPx] === REVERSE_MARKS.behindCore &&
      marks[i + widthPx] === REVERSE_MARKS.behindCore;
    if (inner) {
      deep += ratio[i];
      deepCount++;
    }
    const x = i % widthPx;
    const key = Math.floor((i - x) / widthPx / blockPx) * across + Math.floor(x / blockPx);
    const block = sums.get(key) ?? { sum: 0, count: 0 };
    block.sum += ratio[i];
    block.count++;
    sums.set(key, block);
  }
  if (count < 60 || sums.size < 3) return null;
  const blocks = [...sums.values()];
  const random = seededRandom(seed);
  const means = Array.from({ length: DRAWS }, () => {
    let s = 0;
    let n = 0;
    for (let k = 0; k < blocks.length; k++) {
      const one = blocks[Math.floor(random() * blocks.length)];
      s += one.sum;
      n += one.count;
    }
    return s / n;
  });
  const middle = means.reduce((a, b) => a + b, 0) / DRAWS;
  const uRepeat = Math.sqrt(means.reduce((a, v) => a + (v - middle) ** 2, 0) / (DRAWS - 1));
  const mean = sum / count;
  const placement = deepCount >= 60 ? EDGE_PX * Math.abs(deep / deepCount - mean) : 0.05 * Math.abs(1 - mean);
  return { ratio: mean, uRepeat, placement };
}

/** Slope of a calibration's tone curve near paper, relative: what it may be off by. docs/study/show-through.md. */
const TONE_SHARE = 0.02;

function ghostQuantities(input: ReverseInput, level: number, ghost: Ghost, flags: readonly Flag[]): Quantity[] {
  const subject = { regions: [input.id] };
  const [bare, behind] = [lightness(level), lightness(level * ghost.ratio)];
  const value = bare - behind;
  // L* + 16 goes with the cube root of Y.
  const perRatio = (behind + 16) / 3 / ghost.ratio;
  const calibration = differenceUncertainty(
    labD50(bare, 0, 0),
    labD50(behind, 0, 0),
    input.calibration.calibration,
    'one paper',
  );
  const own = Math.min(calibration, TONE_SHARE * Math.abs(value) + 0.005);
  const parts = combine(perRatio * ghost.uRepeat, own, perRatio * ghost.placement);
  const perDensity = 1 / (Math.LN10 * ghost.ratio);
  const density = combine(perDensity * ghost.uRepeat, own / perRatio / Math.LN10, perDensity * ghost.placement);
  const method = REVERSE_METHODS.ghosting;
  return [
    {
      quantity: 'ghosting',
      subject,
      value,
      unit: 'ΔL*',
      ...parts,
      verdict: verdict(Math.max(0, value), parts.u, GHOSTING_LIMITS),
      limits: GHOSTING_LIMITS,
      flags,
      method,
    },
    {
      quantity: 'ghosting.printThrough',
      subject,
      value: -Math.log10(ghost.ratio),
      unit: '1',
      ...density,
      flags,
      method,
    },
  ];
}

function bleedQuantities(
  input: ReverseInput,
  bleed: Bleed | null,
  marks: Uint8Array,
  dpi: number,
  flags: readonly Flag[],
): Quantity[] {
  const subject = { regions: [input.id] };
  const method = REVERSE_METHODS.bleedThrough;
  if (bleed === null) return noBleed(subject.regions, flags);
  let inked = 0;
  for (const m of marks) if (m >= REVERSE_MARKS.behindInk) inked++;
  const inkedMm2 = inked / (dpi / 25.4) ** 2;
  const percent = (100 * bleed.areaMm2) / inkedMm2;
  const u = (100 * Math.hypot(bleed.areaU, 0.02 * bleed.areaMm2, 0.03 * Math.min(3, bleed.doubtful))) / inkedMm2;
  const none = (0.01 * 100) / inkedMm2;
  return [
    {
      quantity: 'bleedThrough',
      subject,
      value: percent,
      unit: '%',
      u: Math.max(u, none),
      verdict: verdict(percent, Math.max(u, none), BLEED_LIMITS),
      limits: BLEED_LIMITS,
      flags,
      method,
    },
    {
      quantity: 'bleedThrough.dots',
      subject,
      value: bleed.dots,
      unit: 'dots',
      u: Math.hypot(0.15, 0.5 * Math.sqrt(bleed.doubtful)),
      flags,
      method,
    },
    {
      quantity: 'bleedThrough.area',
      subject,
      value: bleed.areaMm2,
      unit: 'mm²',
      u: Math.max(0.01, bleed.areaU),
      flags,
      method,
    },
  ];
}

/** No front to lie behind: the reverse's own dark lines. */
function alone(input: ReverseInput, y: Float32Array): ReverseMeasure {
  const shown = ghostAlone(y, input.back);
  if (!shown.isThere) return { quantities: cleanBack(input, y, shown.noise), marks: null, registration: null };
  return { ...told(input, y, shown.marks, null, null), registration: null };
}

/** A back on which nothing can be seen. @param noise relative, of a line's worth of paper */
function cleanBack(input: ReverseInput, y: Float32Array, noise: number): Quantity[] {
  const flags = [...input.scanFlags, ...clippedFlag(input.back), ...(input.front ? [] : (['no-front'] as const))];
  const level = medianOf(y);
  const ghost = { ratio: 1, uRepeat: noise, placement: 0 };
  return [...ghostQuantities(input, level, ghost, flags), ...noBleed([input.id], flags, input.front ? 0 : null)];
}

function noBleed(regions: readonly string[], flags: readonly Flag[], value: 0 | null = null): Quantity[] {
  const of = (quantity: QuantityName, unit: Unit, u: number): Quantity => ({
    quantity,
    subject: { regions },
    value,
    unit,
    u: value === null ? null : u,
    ...(value === 0 && quantity === 'bleedThrough' && { verdict: 'none', limits: BLEED_LIMITS }),
    flags,
    method: REVERSE_METHODS.bleedThrough,
  });
  return [of('bleedThrough', '%', 0.02), of('bleedThrough.dots', 'dots', 0.2), of('bleedThrough.area', 'mm²', 0.02)];
}

function nothing(input: ReverseInput, because: readonly Flag[]): ReverseMeasure {
  const flags = [...new Set([...input.scanFlags, ...because])];
  const subject = { regions: [input.id] };
  const none = { subject, value: null, u: null, flags, method: REVERSE_METHODS.ghosting };
  return {
    quantities: [
      { quantity: 'ghosting', unit: 'ΔL*', ...none },
      { quantity: 'ghosting.printThrough', unit: '1', ...none },
      ...noBleed([input.id], flags),
    ],
    marks: null,
    registration: null,
  };
}

/** log10 of paper's Y over ink's Y, the ink's interior against the paper about it. */
function densityOf(ink: Ink, front: NonNullable<ReverseInput['front']>): number {
  const { mask, depthPx, ratio } = ink;
  const sum = [0, 0, 0];
  let count = 0;
  for (let i = 0; i < mask.data.length; i++) {
    if (!mask.data[i] || depthPx[i] < 2) continue;
    for (let c = 0; c < 3; c++) sum[c] += ratio[3 * i + c];
    count++;
  }
  const { coefficients } = front.paper!.surface;
  const paper = Float32Array.from(coefficients, (k) => k[0]);
  const inked = paper.map((p, c) => (count === 0 ? p : (p * sum[c]) / count));
  const both = new Float32Array([...paper, ...inked]);
  signalsToXyz(both, front.calibration, both);
  return Math.max(0.02, Math.log10(both[1] / Math.max(1e-4, both[4])));
}

function lightness(y: number): number {
  return 116 * labCurve(y) - 16;
}

function meanWhere(values: Float32Array, counts: Uint8Array): number {
  let sum = 0;
  let n = 0;
  for (let i = 0; i < values.length; i++) {
    if (!counts[i]) continue;
    sum += values[i];
    n++;
  }
  return n === 0 ? medianOf(values) : sum / n;
}
