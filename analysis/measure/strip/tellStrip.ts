/** Readings and their repeats become bands with uncertainties in parts. */
import { signalToXyz, type CompiledCalibration } from '../../calibrate/apply.ts';
import { insideTargetGamut } from '../../calibrate/apply.ts';
import { colourUncertainty } from '../../calibrate/uncertainty.ts';
import { xyzToLab, type LabD50 } from '../../colour/lab.ts';
import type { StripView } from '../../locate/lane.ts';
import type { Flag, LabValue } from '../../quantity.ts';
import type { FitData } from './bandFit.ts';
import type { BandReading, StripReadings } from './bandReadings.ts';
import { heightsAt } from './bands.ts';
import { resolution } from './bandShape.ts';
import type { StripProfile } from './profile.ts';
import { scatter } from './repeats.ts';
import { told, type Band, type Told } from './strip.ts';
import { signalUnder, type Triple } from './visualDensity.ts';

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

export function tellStrip(t: Telling): { bands: Band[]; originRetained: Told | null; frontDistance: Told | null } {
  const { own, again, ends } = t;
  const bands = own.bands.map((_, b) => tellBand(t, b));
  const runMm = ends.originMm === null || ends.frontMm === null ? null : ends.frontMm - ends.originMm;
  return {
    bands,
    originRetained:
      ends.originMm === null || own.totalAmount <= 0
        ? null
        : told(originPercent(own), scatter(again.map(originPercent)), 0),
    frontDistance: runMm === null ? null : told(runMm, 0, Math.hypot(ends.uOriginMm, ends.uFrontMm)),
  };
}

function tellBand(t: Telling, b: number): Band {
  const { own, again, ends, paperAt, calibration, data, places } = t;
  const reading = own.bands[b];
  const { components } = reading.fitted;
  const spread = (of: (r: BandReading, strip: StripReadings) => number): number =>
    scatter(again.map((s) => of(s.bands[b], s)));
  const paper = paperAt(reading.apexMm);
  const lab = labOf(paper, reading.heights, calibration);
  const labs = again.map((s) => labOf(paper, s.bands[b].heights, calibration));
  const uLab = colourUncertainty(lab, calibration.calibration);
  const next = own.bands[b + 1];
  const toNext = (s: StripReadings): number =>
    resolution(s.bands[b].apexMm, s.bands[b + 1].apexMm, s.bands[b].baseMm, s.bands[b + 1].baseMm);
  return {
    number: b + 1,
    apexMm: t.toBox(reading.apexMm),
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
      spread((r) => r.widthMm),
      0,
    ),
    tail: told(
      reading.tail,
      spread((r) => r.tail),
      0,
    ),
    baseMm: reading.baseMm,
    resolution: next === undefined ? null : told(toNext(own), scatter(again.map(toNext)), 0),
    heights: reading.heights,
    colour: [lab[0], lab[1], lab[2]],
    colourParts: {
      repeatability: triple((k) => scatter(labs.map((l) => l[k]))),
      calibration: [uLab[0], uLab[1], uLab[2]],
      placement: [0, 0, 0],
    },
    sharePercent: told(sharePercent(reading, own), spread(sharePercent), 0),
    alone: curves(places, (mm) =>
      mm <= data.firstMm + data.bins * data.binMm ? heightsAt(components, mm) : [0, 0, 0],
    ),
    flags: bandFlags(t, b, paper),
  };
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
  const rF = (mm - ends.originMm) / runMm;
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

function triple(of: (k: number) => number): LabValue {
  return [of(0), of(1), of(2)];
}
