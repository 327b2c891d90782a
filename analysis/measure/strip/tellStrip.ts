/** Readings and their repeats become bands with uncertainties in parts. */
import { signalToXyz, type CompiledCalibration } from '../../calibrate/apply.ts';
import { insideTargetGamut } from '../../calibrate/apply.ts';
import { colourUncertainty, differenceUncertainty } from '../../calibrate/uncertainty.ts';
import { labD50, labToXyz, xyzToLab, type LabD50 } from '../../colour/lab.ts';
import type { StripView } from '../../locate/lane.ts';
import type { Flag } from '../../quantity.ts';
import { densitiesOf, type Addition } from './addition.ts';
import type { FitData } from './bandFit.ts';
import type { BandReading, StripReadings } from './bandReadings.ts';
import { heightsAt } from './bands.ts';
import { resolution, retardation } from './bandShape.ts';
import type { StripProfile } from './profile.ts';
import { scatter } from './repeats.ts';
import { told, type Band, type Told } from './strip.ts';
import { signalUnder, visualDensity, type Triple } from './visualDensity.ts';
import { triple } from '../../triple.ts';

/** Origin and front along the run, mm, with what they may err by. */
export interface Ends {
  readonly originMm: number | null;
  readonly frontMm: number | null;
  readonly uOriginMm: number;
  readonly uFrontMm: number;
  /** At least one of them was looked for. */
  readonly found: boolean;
}

interface Telling {
  readonly own: StripReadings;
  readonly again: readonly StripReadings[];
  readonly data: FitData;
  readonly addition: Addition;
  readonly ends: Ends;
  readonly paperAt: (mm: number) => Triple;
  readonly calibration: CompiledCalibration;
  readonly toBox: (mm: number) => number;
  readonly profile: StripProfile;
  readonly places: Float64Array;
  readonly view: StripView;
}

/** Neighbours closer than this (R_s) share their flanks. */
const OVERLAP = 1;
/** A density beyond which a scanner's dark end decides, not the dye. */
const SATURATED = 1.6;
const CLIPPED_SHARE = 0.005;
/** Length of a spot along the run, for what may hide there. */
const SPOT_MM = 3;

/**
 * What the fit's shapes leave open, beyond what resampling shows; from docs/study/strip.md, where the true runs are not of these shapes.
 * Shares of the value itself, and of what is contested with neighbours.
 */
const OPEN = {
  /** Density by which the paper under the colour may be misjudged, with bare paper beside the lane and without. */
  paper: 0.0008,
  unseenPaper: 0.003,
  amount: 0.012,
  contestedAmount: 0.3,
  height: 0.02,
  othersHeight: 0.08,
  width: 0.01,
  tail: 0.07,
} as const;

/** Widths in mm, shares in % of all absorbance; what needs origin or front is null where that is not known. */
export function tellStrip(t: Telling): { bands: Band[]; originRetained: Told | null; frontDistance: Told | null } {
  const { own, again, ends } = t;
  const shares = shareDoubts(t);
  const bands = own.bands.map((_, b) => tellBand(t, b, shares.bands[b]));
  const runMm = ends.originMm === null || ends.frontMm === null ? null : ends.frontMm - ends.originMm;
  return {
    bands,
    originRetained:
      ends.originMm === null || own.totalAmount <= 0
        ? null
        : told(
            originPercent(own),
            Math.hypot(scatter(again.map(originPercent)), shares.origin.shape),
            0,
            shares.origin.calibration,
          ),
    frontDistance: runMm === null ? null : told(runMm, 0, Math.hypot(ends.uOriginMm, ends.uFrontMm)),
  };
}

function tellBand(t: Telling, b: number, shareDoubt: Doubt): Band {
  const { own, again, ends, paperAt, calibration, data, places } = t;
  const reading = own.bands[b];
  const { components } = reading.fitted;
  const spread = (of: (r: BandReading, strip: StripReadings) => number): number =>
    scatter(again.map((s) => of(s.bands[b], s)));
  const paper = paperAt(reading.apexMm);
  const lab = labOf(paper, reading.heights, calibration);
  const labs = again.map((s) => labOf(paper, s.bands[b].heights, calibration));
  const stretched = labOf(paper, grown(reading.heights, 1 + OPEN.height), calibration);
  const lessDivided = labOf(paper, added(reading.heights, reading.others, OPEN.othersHeight), calibration);
  const uLab = colourUncertainty(lab, calibration.calibration);
  const next = own.bands[b + 1];
  const toNext = (s: StripReadings): number =>
    resolution(s.bands[b].apexMm, s.bands[b + 1].apexMm, s.bands[b].baseMm, s.bands[b + 1].baseMm);
  return {
    number: b + 1,
    apexMm: t.toBox(reading.apexMm),
    spanMm: spanOf(reading, t.toBox),
    rF: place(
      reading.apexMm,
      spread((r) => r.apexMm),
      ends,
    ),
    centroid: place(
      reading.centroidMm,
      spread((r) => r.centroidMm),
      ends,
    ),
    widthMm: told(
      reading.widthMm,
      Math.hypot(
        spread((r) => r.widthMm),
        OPEN.width * reading.widthMm,
      ),
      0,
    ),
    tail: told(
      reading.tail,
      Math.hypot(
        spread((r) => r.tail),
        OPEN.tail * reading.tail,
      ),
      0,
    ),
    baseMm: reading.baseMm,
    resolution:
      next === undefined
        ? null
        : told(toNext(own), Math.hypot(scatter(again.map(toNext)), OPEN.width * toNext(own)), 0),
    heights: reading.heights,
    uHeights: triple((k) =>
      Math.hypot(
        spread((r) => r.heights[k]),
        OPEN.height * reading.heights[k],
        OPEN.othersHeight * reading.others[k],
      ),
    ),
    colour: [lab[0], lab[1], lab[2]],
    colourParts: {
      repeatability: triple((k) =>
        Math.hypot(scatter(labs.map((l) => l[k])), stretched[k] - lab[k], lessDivided[k] - lab[k]),
      ),
      calibration: [uLab[0], uLab[1], uLab[2]],
      placement: [0, 0, 0],
    },
    sharePercent: told(
      sharePercent(reading, own),
      Math.hypot(spread(sharePercent), shareDoubt.shape),
      0,
      shareDoubt.calibration,
    ),
    alone: curves(places, (mm) =>
      mm <= data.firstMm + data.bins * data.binMm ? densitiesOf(t.addition, heightsAt(components, mm)) : [0, 0, 0],
    ),
    flags: bandFlags(t, b, paper),
  };
}

function spanOf({ apexMm, halfMm }: BandReading, toBox: (mm: number) => number): readonly [number, number] {
  const [a, b] = [toBox(apexMm - halfMm[0]), toBox(apexMm + halfMm[1])];
  return a < b ? [a, b] : [b, a];
}

interface Doubt {
  /** Points of share. */
  readonly shape: number;
  readonly calibration: number;
}

/**
 * Each amount errs on its own by what is contested and by how the scanner sees its colour; a share errs by its own amount and by all
 * others' in the whole.
 */
function shareDoubts(t: Telling): { bands: Doubt[]; origin: Doubt } {
  const { own, paperAt, calibration } = t;
  const paper = t.profile.side === null ? OPEN.unseenPaper : OPEN.paper;
  const parts = [
    ...own.bands.map((b) => ({
      amount: b.amount,
      shape: Math.hypot(OPEN.amount * b.amount, OPEN.contestedAmount * b.contested, 2 * paper * b.widthMm),
      colour: colourDoubt(paperAt(b.apexMm), b.heights, calibration),
    })),
    {
      amount: own.originAmount,
      shape: Math.hypot(
        OPEN.amount * own.originAmount,
        OPEN.contestedAmount * own.originContested,
        2 * paper * SPOT_MM,
      ),
      colour: originColourDoubt(t),
    },
    // Where no band is seen the origin has all that is seen: what may have run unseen is all that its share can err by.
    ...(own.bands.length > 0 ? [] : [{ amount: 0, shape: unseenAmount(t, paper), colour: 0 }]),
  ];
  const whole = own.totalAmount || 1;
  const shape = parts.map((p) => p.shape / whole);
  const colour = parts.map((p) => (p.colour * p.amount) / whole);
  const ofShare = (u: readonly number[], k: number): number =>
    100 * Math.hypot(...u.map((v, j) => v * ((j === k ? 1 : 0) - parts[k].amount / whole)));
  const doubts = parts.map((_, k): Doubt => ({ shape: ofShare(shape, k), calibration: ofShare(colour, k) }));
  const bands = own.bands.length;
  return { bands: doubts.slice(0, bands), origin: doubts[bands] };
}

/** Colour all along the run, as pale as the paper is unsure: anything from none to that is as likely (a rectangle's standard deviation). */
function unseenAmount({ ends, data }: Telling, paperDoubt: number): number {
  const lastMm = ends.frontMm ?? data.firstMm + data.bins * data.binMm;
  return (2 * paperDoubt * Math.max(0, lastMm - (ends.originMm ?? data.firstMm))) / Math.sqrt(12);
}

/** Relative doubt of a visual density: what a difference from the paper's colour may err by in lightness, over the density. */
function colourDoubt(paper: Triple, heights: Triple, calibration: CompiledCalibration): number {
  const [bare, lab] = [labOf(paper, [0, 0, 0], calibration), labOf(paper, heights, calibration)];
  const uL = differenceUncertainty(bare, lab, calibration.calibration, 'one paper') / Math.SQRT2;
  const depth = visualDensity(paper, heights, calibration);
  const step = 0.5;
  const [, y0] = labToXyz(labD50(lab[0] - step, lab[1], lab[2]));
  const [, y1] = labToXyz(labD50(lab[0] + step, lab[1], lab[2]));
  const perL = Math.log10(y1 / Math.max(1e-6, y0)) / (2 * step);
  return Math.min(0.5, (uL * perL) / Math.max(1e-3, depth));
}

/** The origin's material is all dyes mixed: their mean doubt. */
function originColourDoubt(t: Telling): number {
  const { own, paperAt, calibration } = t;
  const whole = own.bands.reduce((sum, b) => sum + b.amount, 0);
  return own.bands.reduce(
    (sum, b) => sum + (b.amount / Math.max(1e-9, whole)) * colourDoubt(paperAt(b.apexMm), b.heights, calibration),
    0,
  );
}

function grown(v: Triple, factor: number): Triple {
  return [v[0] * factor, v[1] * factor, v[2] * factor];
}

function added(v: Triple, other: Triple, share: number): Triple {
  return [v[0] + share * other[0], v[1] + share * other[1], v[2] + share * other[2]];
}

function originPercent(strip: StripReadings): number {
  return strip.totalAmount > 0 ? (100 * strip.originAmount) / strip.totalAmount : 0;
}

function sharePercent(band: BandReading, strip: StripReadings): number {
  return strip.totalAmount > 0 ? (100 * band.amount) / strip.totalAmount : 0;
}

/** R_F of a place: (x − origin)/(front − origin); either end may be a little off. */
function place(mm: number, uMm: number, ends: Ends): Told | null {
  if (ends.originMm === null || ends.frontMm === null) return null;
  const runMm = ends.frontMm - ends.originMm;
  const rF = retardation(mm, ends.originMm, ends.frontMm);
  return told(rF, uMm / runMm, Math.hypot((1 - rF) * ends.uOriginMm, rF * ends.uFrontMm) / runMm);
}

function labOf(paper: Triple, heights: Triple, calibration: CompiledCalibration): LabD50 {
  return xyzToLab(signalToXyz(signalUnder(paper, heights), calibration));
}

function bandFlags(t: Telling, b: number, paper: Triple): Flag[] {
  const { own, profile, view, calibration } = t;
  const reading = own.bands[b];
  const flags: Flag[] = [];
  const overlaps = [own.bands[b - 1], own.bands[b + 1]].some(
    (other) =>
      other !== undefined && Math.abs(resolution(reading.apexMm, other.apexMm, reading.baseMm, other.baseMm)) < OVERLAP,
  );
  if (overlaps) flags.push('overlapped');
  if (Math.max(...reading.heights) > SATURATED) flags.push('saturated');
  if (reading.widthMm < 6 * view.pxMm) flags.push('below-resolution');
  if (!insideTargetGamut(signalUnder(paper, reading.heights), calibration)) flags.push('outside-target-gamut');
  const near = (i: number): boolean => Math.abs(profile.firstMm + i * profile.binMm - reading.apexMm) < reading.widthMm;
  if (profile.clippedShare.some((share, i) => share > CLIPPED_SHARE && near(i))) flags.push('clipped');
  return flags;
}

function curves(places: Float64Array, at: (mm: number) => Triple): [Float64Array, Float64Array, Float64Array] {
  const all = Array.from(places, at);
  return [
    Float64Array.from(all, (v) => v[0]),
    Float64Array.from(all, (v) => v[1]),
    Float64Array.from(all, (v) => v[2]),
  ];
}
