/** Findings of one pen about what lies under its ink, and of one pair of papers how far the ink hides them. */
import { deltaE2000 } from '../../colour/deltaE.ts';
import { labD50, type LabD50 } from '../../colour/lab.ts';
import { looksBrightened } from '../../film/brightened.ts';
import { spokenName } from '../../colour/spokenName.ts';
import type { Curve, Flag, LabValue, Quantity } from '../../quantity.ts';
import { deltaESlope } from '../colourPairs.ts';
import type { FittedInk } from '../film/fittedInk.ts';
import { verdict } from '../verdict.ts';
import type { Told } from './filmNumbers.ts';
import {
  foretoldHiding,
  foretoldOn,
  layerNumbers,
  type LeftOut,
  leftOutOf,
  type Pen,
  type PenLayer,
  penLayer,
} from './pen.ts';

export const OPACITY_METHODS = {
  film: { 'film-fit': 'film-film/5', grounds: 'film/2' },
  contrast: { 'film-fit': 'contrastRatio.predicted-film/5', grounds: 'contrastRatio.predicted/3' },
  predictedColour: { 'film-fit': 'predictedColour-film/5', grounds: 'predictedColour/2' },
  hiding: 'hiding/3',
  foretoldHiding: { 'film-fit': 'hiding.predicted-film/5', grounds: 'hiding.predicted/2' },
} as const;

/** 1 hides the paper wholly; common practice, no source. */
export const HIDING_LIMITS = [0.8, 0.95] as const;
export const HIDING_WORDS = ['translucent', 'nearly opaque', 'opaque'] as const;

/** What is in doubt of a sample is in doubt of all that is foretold from it. */
const PASSED_ON: readonly Flag[] = [
  'uncalibrated',
  'poor-calibration',
  'settings-changed',
  'lossy',
  'sharpened',
  'maybe-brightened',
  'clipped',
  'narrow-absorption',
  'lab-alone',
];

/** A paper of the sheet. */
export interface KnownPaper {
  readonly name: string;
  readonly lab: LabValue;
}

/** @param papers all of the sheet: on those that the pen did not write on its colour is foretold. @param fits of all targets */
export function penFindings(pen: Pen, papers: readonly KnownPaper[], fits: readonly FittedInk[]): Quantity[] {
  const known = penLayer(pen, fits);
  if (known.by === 'none') return known.why === 'grounds-alike' ? [alike(pen)] : [];
  const flags = passedOn(pen, known);
  const leftOut = leftOutOf(pen, fits);
  const unchecked: Flag[] = leftOut.length === 0 ? [...flags, 'not-checked'] : flags;
  const own = new Set(pen.samples.map(({ paper }) => paper));
  const predicted = papers
    .filter(({ name }) => !own.has(name))
    .flatMap(({ name, lab }) => {
      const hidden = hidingOn(known, pen.samples, name, lab, flags);
      // Where no word can be told a row for each paper would say nothing.
      return [...predictedOn(known, name, lab, unchecked), ...(hidden?.value == null ? [] : [hidden])];
    });
  return [...layerFindings(known, flags), ...predicted, ...leftOut.map((one) => errorFinding(one, known, flags))];
}

/** Flags of a pen's samples that hold for what follows from them. */
export function passedOn({ samples, bars }: Pen, known: PenLayer): Flag[] {
  // A film knows nothing of bars.
  const told = known.by === 'film-fit' ? samples : [...samples, ...bars];
  const passed = told.flatMap(({ flags }) => flags.filter((flag) => PASSED_ON.includes(flag)));
  return [...new Set([...passed, ...(known.by === 'grounds' ? (['by-grounds'] as const) : [])])];
}

function alike({ samples, bars }: Pen): Quantity {
  return {
    quantity: 'film',
    subject: { regions: [...samples, ...bars].map(({ region }) => region) },
    value: null,
    unit: '1',
    u: null,
    flags: ['grounds-alike'],
    method: OPACITY_METHODS.film.grounds,
  };
}

type Known = Exclude<PenLayer, { by: 'none' }>;

function layerFindings(known: Known, flags: readonly Flag[]): Quantity[] {
  const numbers = layerNumbers(known);
  if (numbers === null) return [];
  const subject = { regions: known.regions };
  const { channels, t, contrast } = numbers;
  const curve: Curve = {
    x: { name: 'channel', unit: '1', values: [1, 2, 3] },
    y: [
      { name: 'R0', unit: '1', values: channels.map(({ r0 }) => r0.value), u: channels.map(({ r0 }) => r0.u) },
      { name: 'T', unit: '1', values: channels.map((one) => one.t.value), u: channels.map((one) => one.t.u) },
    ],
  };
  return [
    {
      quantity: 'film',
      subject,
      value: t.value,
      unit: '1',
      u: t.u,
      flags,
      curve,
      method: OPACITY_METHODS.film[known.by],
    },
    {
      quantity: 'contrastRatio.predicted',
      subject,
      // Three channels of a pale layer can leave a touch less light than none.
      value: Math.max(0, contrast.value),
      unit: '1',
      u: contrast.u,
      flags,
      method: OPACITY_METHODS.contrast[known.by],
    },
  ];
}

function predictedOn(known: Known, on: string, ground: LabValue, flags: readonly Flag[]): Quantity[] {
  const foretold = foretoldOn(known, ground);
  if (foretold === null) return [];
  const { lab, u } = foretold;
  return [
    {
      quantity: 'predictedColour',
      subject: { regions: known.regions, on },
      value: [lab[0], lab[1], lab[2]],
      unit: 'Lab',
      u,
      verdict: spokenName(lab, u),
      flags: groundFlags(ground, flags),
      method: OPACITY_METHODS.predictedColour[known.by],
    },
  ];
}

/** As of papers that are measured (docs/measures.md, maybe-brightened). */
export function groundFlags(ground: LabValue, flags: readonly Flag[]): Flag[] {
  return [...new Set([...flags, ...(looksBrightened(labD50(...ground)) ? (['maybe-brightened'] as const) : [])])];
}

function errorFinding({ region, foretold, sample }: LeftOut, known: Known, flags: readonly Flag[]): Quantity {
  return {
    quantity: 'predictedColour.error',
    subject: { regions: [region] },
    value: deltaE2000(sample.lab, foretold.lab),
    unit: 'ΔE00',
    u: errorDoubt(sample.lab, sample.u, foretold.lab, foretold.u),
    flags,
    method: OPACITY_METHODS.predictedColour[known.by],
  };
}

/** Of the distance between a colour that was measured and one that was foretold: both doubts along it. */
export function errorDoubt(measured: LabD50, uMeasured: LabValue, foretold: LabD50, uForetold: LabValue): number {
  const slope = deltaESlope(measured, foretold);
  return Math.hypot(...slope.map((s, c) => s * Math.hypot(uMeasured[c], uForetold[c])));
}

/** By the papers' L*. */
export function palestFirst(samples: Pen['samples']): Pen['samples'] {
  return samples.toSorted((a, b) => b.paperLab[0] - a.paperLab[0]);
}

/** Against the palest of the pen's own papers. @returns in a flag why no word can be told; null: there is nothing to hold it against */
function againstPalest(known: Known, samples: Pen['samples'], ground: LabD50): Told | Flag | null {
  const [palest] = palestFirst(samples);
  if (palest === undefined) return null;
  const between = deltaE2000(palest.paperLab, ground);
  if (between < APART.least) return 'grounds-alike';
  const told = foretoldHiding(known, palest.paperLab, ground);
  if (told === null) return 'cannot-tell';
  const doubt = Math.hypot(told.u, ((1 - told.value) * PAPERS_U) / between);
  return doubt > MOST_DOUBT ? 'cannot-tell' : { value: told.value, u: doubt };
}

/**
 * How far the layer hides a ground that it was not seen on, against the palest that it was.
 * @param on name of the paper; null: a colour that a person picked @param flags of what it stands on
 */
export function hidingOn(
  known: PenLayer,
  samples: Pen['samples'],
  on: string | null,
  ground: LabValue,
  flags: readonly Flag[],
): Quantity | null {
  if (known.by === 'none') return null;
  const told = againstPalest(known, samples, labD50(...ground));
  if (told === null) return null;
  const common = {
    quantity: 'hiding.predicted',
    subject: { regions: known.regions, ...(on !== null && { on }) },
    unit: '1',
    method: OPACITY_METHODS.foretoldHiding[known.by],
  } as const;
  // A colour that a person picked is no sheet: nothing glows in it.
  const own = on === null ? flags : groundFlags(ground, flags);
  if (typeof told === 'string') return { ...common, value: null, u: null, flags: [...new Set([...own, told])] };
  const word = verdict(told.value, told.u, HIDING_LIMITS, HIDING_WORDS);
  return { ...common, ...told, verdict: word, limits: HIDING_LIMITS, flags: own };
}

/** Of two papers' ΔE00, one known by the film and one by the map. A choice, no source. */
const PAPERS_U = 0.6;

export interface PaperPair {
  readonly toneShift: Quantity;
  /** Of the papers under its two regions, told as the inks are. */
  readonly papers: readonly [LabValue, LabValue];
  /** Standard uncertainty of the papers' ΔE00. */
  readonly uPapers: number;
}

/** Papers must differ by so many of their own standard uncertainties, and by so much at all, ΔE00. */
const APART = { sigmas: 4, least: 2 } as const;

/** From here on ± 2u reaches over the whole of 'nearly opaque', and no word can be told: papers that are nearly alike, mostly. */
const MOST_DOUBT = (HIDING_LIMITS[1] - HIDING_LIMITS[0]) / 2;

/** Null: the tone shift itself cannot be told. */
export function hiding({ toneShift, papers, uPapers }: PaperPair): Quantity | null {
  const { value, u, subject, flags } = toneShift;
  if (typeof value !== 'number' || typeof u !== 'number') return null;
  const between = deltaE2000(labD50(...papers[0]), labD50(...papers[1]));
  const isAlike = between < Math.max(APART.least, APART.sigmas * uPapers);
  const told = 1 - value / between;
  const doubt = Math.hypot(u / between, (value * uPapers) / between ** 2);
  const why: Flag | null = isAlike ? 'grounds-alike' : doubt > MOST_DOUBT ? 'cannot-tell' : null;
  const common = { quantity: 'hiding', subject, unit: '1', method: OPACITY_METHODS.hiding } as const;
  if (why !== null) return { ...common, value: null, u: null, flags: [...new Set([...flags, why])] };
  const word = verdict(told, doubt, HIDING_LIMITS, HIDING_WORDS);
  return { ...common, value: told, u: doubt, verdict: word, limits: HIDING_LIMITS, flags };
}
