/** A region of ink measured: its colour, its density, and how far light and dark lie apart within it. */
import { colourUncertainty, differenceUncertainty } from '../calibrate/uncertainty.ts';
import { insideTargetGamut } from '../calibrate/apply.ts';
import { type LabD50, type Xyz, chroma, hueDeg, xyzToLab } from '../colour/lab.ts';
import { spokenName } from '../colour/spokenName.ts';
import type { Flag, LabValue, Quantity, QuantityName, Subject } from '../quantity.ts';
import { seedFromText } from '../seededRandom.ts';
import type { BarePaper } from './barePaper.ts';
import { type InkSample, strokeSample, swabSample } from './inkSample.ts';
import { type Lightness, lightnessOf } from './lightness.ts';
import { BOOTSTRAP_DEFAULTS, blocksOf, diagonalRoot, type MeasuredColour, measuredColour } from './measuredColour.ts';
import type { RegionInput } from './region.ts';
import { type LightAndDark, shadingStatistic, type ShadingStatistic } from './shading.ts';
import { combine, combineLab } from './uncertainty.ts';
import { SHADING_LIMITS, verdict } from './verdict.ts';
import { triple } from '../triple.ts';

/** What the pairs (nibs, papers) need of one region, and what a picture of it needs. */
export interface InkMeasure {
  readonly quantities: readonly Quantity[];
  /** Null when there was no ink to measure. */
  readonly ink: MeasuredInk | null;
  /** Per pixel of the region, what it counted as (inkMarks); null when there was no ink. */
  readonly marks: Uint8Array | null;
  /** Null when there was no ink to measure. */
  readonly spread: InkSpread | null;
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
  inkColour: 'inkColour/1',
  inkDensity: 'inkDensity/1',
  shading: 'shading/1',
  swabVariation: 'swabVariation/1',
} as const;

export function measureStrokes(input: RegionInput): InkMeasure {
  return measureInk(input, strokeSample(input), 'shading');
}

export function measureSwab(input: RegionInput): InkMeasure {
  return measureInk(input, swabSample(input), 'swabVariation');
}

type Spread = 'shading' | 'swabVariation';

function measureInk(input: RegionInput, sample: ReturnType<typeof strokeSample>, spread: Spread): InkMeasure {
  const subject: Subject = { regions: [input.id] };
  if (!('ink' in sample)) {
    return { quantities: nothingToTell(subject, spread, sample.flags), ink: null, marks: null, spread: null };
  }
  const { widthPx, dpi } = input.signal;
  const blocks = blocksOf(sample.indices, widthPx, (BOOTSTRAP_DEFAULTS.blockMm * dpi) / 25.4);
  const seed = seedFromText(input.id);
  const colour = measuredColour(sample.xyz, blocks, seed);
  const flags = [...sample.flags];
  if (!insideTargetGamut(sample.signal, input.calibration)) flags.push('outside-target-gamut');
  const shiftedLab = xyzToLab(meanXyz(sample.shiftedXyz));
  const placement = triple((c) => Math.abs(shiftedLab[c] - colour.lab[c]));
  const ink: MeasuredInk = {
    region: input.id,
    colour,
    placement,
    light: (input.paper?.unevenness ?? 0) / Math.sqrt(3),
    paper: input.bare!,
    flags,
  };
  const statistic = shadingStatistic(sample.smoothXyz, blocks, sample.paperNoise, seed);
  const shifted = shadingOfShifted(sample, widthPx, dpi, seed);
  return {
    quantities: [
      ...colourQuantities(ink, input, subject),
      ...spreadQuantities(statistic, shifted, input, subject, flags, spread),
    ],
    ink,
    marks: marksOf(sample, statistic),
    spread: { dark: statistic.dark, light: statistic.light, lightness: lightnessOf(sample.smoothXyz) },
  };
}

function colourQuantities(ink: MeasuredInk, input: RegionInput, subject: Subject): Quantity[] {
  const { lab, covariance, xyz } = ink.colour;
  const calibration = withLight(colourUncertainty(lab, input.calibration.calibration), lab, ink.light);
  const { u, uParts } = combineLab(diagonalRoot(covariance), calibration, ink.placement);
  const { flags } = ink;
  const method = INK_METHODS.inkColour;
  const C = chroma(lab);
  // Along and across the hue direction: first-order propagation of the components.
  const along = Math.hypot(lab[1] * u[1], lab[2] * u[2]) / Math.max(C, 1e-6);
  const across = Math.hypot(lab[2] * u[1], lab[1] * u[2]) / Math.max(C, 1e-6);
  const hueTells = C > 2 * across;
  const density = Math.log10(ink.paper.xyz[1] / Math.max(1e-4, xyz[1]));
  // dD = dL* · 3 / (ln 10 · (L* + 16)): the cube root turned round; the paper's own level cancels.
  const perL = 3 / (Math.LN10 * (lab[0] + 16));
  const calibrationL = colourUncertainty(lab, input.calibration.calibration)[0];
  const densityU = combine(perL * Math.sqrt(covariance[0]), perL * calibrationL, perL * ink.placement[0]);
  return [
    {
      quantity: 'inkColour',
      subject,
      value: plain(lab),
      unit: 'Lab',
      u,
      uParts,
      verdict: spokenName(lab, u),
      flags,
      method,
    },
    {
      quantity: 'inkColour.hue',
      subject,
      value: hueTells ? hueDeg(lab) : null,
      unit: '°',
      u: hueTells ? (across / C) * (180 / Math.PI) : null,
      flags: hueTells ? flags : [...flags, 'cannot-tell'],
      method,
    },
    {
      quantity: 'inkColour.chroma',
      subject,
      value: C,
      unit: '1',
      u: C > 1e-6 ? along : Math.hypot(u[1], u[2]),
      flags,
      method,
    },
    { quantity: 'inkDensity', subject, value: density, unit: '1', ...densityU, flags, method: INK_METHODS.inkDensity },
  ];
}

function spreadQuantities(
  s: ShadingStatistic,
  shifted: ShadingStatistic,
  input: RegionInput,
  subject: Subject,
  flags: readonly Flag[],
  name: Spread,
): Quantity[] {
  const calibration = differenceUncertainty(s.dark, s.light, input.calibration.calibration, 'one paper');
  const dE = combine(s.uRepeat.dE00, calibration, Math.abs(shifted.dE00 - s.dE00));
  // ΔE00 shrinks dark L* steps by up to 1.75 (its S_L), so the same share of doubt is wider in L*.
  const perDE = s.dE00 > 0.2 ? Math.min(2, s.dL / s.dE00) : 1;
  const dL = combine(s.uRepeat.dL, calibration * perDE, Math.abs(shifted.dL - s.dL));
  const method = INK_METHODS[name];
  const out: Quantity[] = [
    {
      quantity: name,
      subject,
      value: s.dE00,
      unit: 'ΔE00',
      ...dE,
      verdict: verdict(s.dE00, dE.u, SHADING_LIMITS),
      limits: SHADING_LIMITS,
      flags,
      method,
    },
    { quantity: `${name}.dL`, subject, value: s.dL, unit: 'ΔL*', ...dL, flags, method },
  ];
  if (name === 'shading') {
    const C = (chroma(s.dark) + chroma(s.light)) / 2;
    // ΔH* in ΔE00 is about divided by 1 + 0.015 C*: turned back into an angle.
    const hueU = combine(s.uRepeat.dHueDeg, ((calibration * (1 + 0.015 * C)) / Math.max(C, 1)) * (180 / Math.PI), 0);
    const told = s.dHueDeg !== null;
    out.push({
      quantity: 'shading.dHue',
      subject,
      value: s.dHueDeg,
      unit: '°',
      u: told ? hueU.u : null,
      flags: told ? flags : [...flags, 'cannot-tell'],
      method,
    });
  }
  return out;
}

function nothingToTell(subject: Subject, spread: Spread, flags: readonly Flag[]): Quantity[] {
  const none = (quantity: QuantityName, unit: Quantity['unit'], method: string): Quantity => ({
    quantity,
    subject,
    value: null,
    unit,
    u: null,
    flags,
    method,
  });
  return [none('inkColour', 'Lab', INK_METHODS.inkColour), none(spread, 'ΔE00', INK_METHODS[spread])];
}

/** A level of light that is off by a share moves L*, a* and b* together as scaling XYZ does. */
export function withLight(u: LabValue, lab: LabD50, light: number): LabValue {
  return [
    Math.hypot(u[0], ((lab[0] + 16) / 3) * light),
    Math.hypot(u[1], (lab[1] / 3) * light),
    Math.hypot(u[2], (lab[2] / 3) * light),
  ];
}

function shadingOfShifted(sample: InkSample, widthPx: number, dpi: number, seed: number): ShadingStatistic {
  const { ink, interior, indices, smoothXyz, paperNoise } = sample;
  // The pixels that stay when the edge moves in by one pixel; a core line has none and keeps them all.
  let shallowest = Infinity;
  for (const i of indices) shallowest = Math.min(shallowest, ink.depthPx[i]);
  const keep = new Int32Array(indices.length)
    .map((_, k) => k)
    .filter((k) => {
      const i = indices[k];
      return interior.data[i] !== 0 && ink.depthPx[i] >= shallowest + 1;
    });
  if (keep.length < 60) return shadingStatistic(smoothXyz, blocksOf(indices, widthPx, dpi), paperNoise, seed, 0);
  const xyz = new Float32Array(3 * keep.length);
  keep.forEach((k, j) => xyz.set(smoothXyz.subarray(3 * k, 3 * k + 3), 3 * j));
  const kept = keep.map((k) => indices[k]);
  return shadingStatistic(xyz, blocksOf(kept, widthPx, dpi), paperNoise, seed, 0);
}

function marksOf(sample: InkSample, statistic: ShadingStatistic): Uint8Array {
  const marks = Uint8Array.from(sample.ink.mask.data);
  sample.crossings?.data.forEach((c, i) => {
    if (c && marks[i]) marks[i] = INK_MARKS.doubleLayer;
  });
  sample.indices.forEach((i, k) => {
    const end = statistic.ends[k];
    marks[i] = end === 1 ? INK_MARKS.dark : end === 2 ? INK_MARKS.light : INK_MARKS.counted;
  });
  return marks;
}

function meanXyz(xyz: Float32Array): Xyz {
  const sum = [0, 0, 0];
  for (let i = 0; i < xyz.length; i++) sum[i % 3] += xyz[i];
  return triple((c) => sum[c] / (xyz.length / 3));
}

function plain(lab: LabD50): LabValue {
  return [lab[0], lab[1], lab[2]];
}
