/** One chromatography strip from pixels to bands: lane, profile, paper, joint fit, and every number with its uncertainty. */
import { signalToXyz, type CompiledCalibration } from '../../calibrate/apply.ts';
import { xyzToLab } from '../../colour/lab.ts';
import type { Flag, LabValue } from '../../quantity.ts';
import { seedFromText } from '../../seededRandom.ts';
import type { Addition } from './addition.ts';
import type { PaperLine } from './baseline.ts';
import { cutData, type BandFit, type FitData, type FitLimits } from './bandFit.ts';
import { readBands, type Grouping, type StripReadings } from './bandReadings.ts';
import { groupBands } from './bands.ts';
import { byHandAlong, isByHand, mergedByHand, withoutRemoved } from './byHand.ts';
import { bandsByBestLaw } from './bandsByBestLaw.ts';
import { withFaintOrigin } from './chooseBands.ts';
import { frontSpeed } from './frontSpeed.ts';
import { ranOtherWay } from './likelyWay.ts';
import { markError } from './marks.ts';
import { profileNoise, whitening, type ProfileNoise } from './noise.ts';
import type { StripProfile } from './profile.ts';
import { repeatReadings } from './repeats.ts';
import { seeStrip } from './seeStrip.ts';
import { STRIP_DEFAULTS, type StripInput, type StripMeasure, type StripOptions } from './strip.ts';
import { stripQuantities } from './stripQuantities.ts';
import { tellStrip, type Ends } from './tellStrip.ts';
import type { Triple } from './visualDensity.ts';

export type { Band, StripInput, StripMeasure, StripOptions } from './strip.ts';

/** The fit starts this far before the origin, mm: a spot may be wide. */
const FIT_BEFORE_MM = 7;

/** @returns places in mm along the box; no bands and a flag, no exception, where the box shows no strip or too little of one */
export function measureStrip(input: StripInput, options?: StripOptions): StripMeasure {
  const used = { ...STRIP_DEFAULTS, ...options };
  const { calibration } = input;
  const seen = seeStrip(input, used);
  if (seen === null) return nothing(input, ['few-pixels']);
  const { view, lane, profile, line, density, ends, chance, reversed, toBox } = seen;
  const { data: densities, limits } = fitDataOf(profile, line, density, ends, used);
  const flags: Flag[] = [...stripFlags(calibration, ends, profile, lane.fillsStrip), ...seen.faults];
  const independent = chance.correlatedBins;
  if (ranOtherWay(input, seen, used)) flags.push('runs-other-way');
  const byHand = byHandAlong(input.bands ?? [], ends);
  if (isByHand(byHand)) flags.push('by-hand');
  const choice = { ...used, pinsMm: byHand.pinsMm };
  const paper = meanPaper(line, profile);
  const { fit: free, data: whole, addition } = bandsByBestLaw(densities, paper, limits, independent, choice);
  const seenFree = groupBands(free, whole, limits);
  const faint = ends.originMm !== null && !seenFree.originSeen && seenFree.bands.length > 0;
  const chosen = faint ? withFaintOrigin(free, seenFree.origin, whole, limits) : free;
  const first = groupBands(chosen, whole, limits);
  const { fit, data } = withoutRemoved(chosen, first.bands, whole, byHand.removedMm);
  const found = groupBands(fit, data, limits);
  const groups = { ...found, bands: mergedByHand(found.bands, data, byHand.mergedMm) };
  // With bands about, material at the origin is measured however little it is; alone, it must be seen, and be a spot, not a line across.
  // Where a person took every band away, the origin's share of nothing else would be all, without a doubt.
  const alone = first.bands.length === 0 && groups.originSeen && !lane.fillsStrip;
  const withOrigin = ends.originMm !== null && (groups.bands.length > 0 || alone);
  const grouping: Grouping = {
    origin: withOrigin ? groups.origin.map((c) => fit.components.indexOf(c)) : [],
    bands: groups.bands.map((band) => band.components.map((c) => fit.components.indexOf(c))),
  };
  const paperAt = (mm: number): Triple => sampleTriple(line.paper, profile, mm);
  const read = (f: BandFit, d: FitData): StripReadings => readBands(f, grouping, d, paperAt, calibration, addition);
  const own = read(fit, data);
  const seed = seedFromText(input.id);
  const again =
    grouping.bands.length + grouping.origin.length === 0
      ? []
      : repeatReadings(fit, data, limits, read, { repeats: used.repeats, blockMm: 2.5, seed });
  const places = Float64Array.from({ length: profile.bins }, (_, i) => profile.firstMm + i * profile.binMm);
  const { bands, originRetained, frontDistance } = tellStrip({
    own,
    again,
    data,
    addition,
    ends,
    paperAt,
    calibration,
    toBox,
    profile,
    places,
    view,
  });
  if (bands.length === 0 && !groups.originSeen) {
    flags.push(seen.nothingSeen ? 'no-strip' : 'no-ink');
    // A strip without any ink fills itself with what is all paper.
    if (!seen.nothingSeen && flags.includes('no-bare-paper')) flags.splice(flags.indexOf('no-bare-paper'), 1);
  }
  const lostEnds: Flag[] = [
    ...(ends.originMm === null ? (['origin-not-found'] as const) : []),
    ...(ends.frontMm === null ? (['front-not-found'] as const) : []),
  ];
  const { runS } = input;
  const speed = typeof runS === 'number' ? [frontSpeed(input.id, frontDistance, runS, flags, lostEnds)] : [];
  return {
    id: input.id,
    travel: seen.travel,
    quantities: [...stripQuantities(input.id, bands, originRetained, flags, lostEnds), ...speed],
    profile: {
      ...viewOf(profile, density, fit, data, addition, chanceOf(chance), calibration, places, toBox, reversed),
      paper,
    },
    bands: reversed ? bands.map((b) => ({ ...b, alone: flip(b.alone) })) : bands,
    law: addition.law,
    originRetained,
    frontDistance,
    originMm: ends.originMm === null ? null : toBox(ends.originMm),
    frontMm: ends.frontMm === null ? null : toBox(ends.frontMm),
    flags: [...flags, ...lostEnds, ...(bands.length === 0 ? (['no-bands'] as const) : [])],
  };
}

/** The part of the profile that the fit sees: nothing beyond the front, where no dye can be and the tideline lies. */
function fitDataOf(
  profile: StripProfile,
  line: PaperLine,
  density: Float64Array,
  ends: Ends,
  errors: { shapeError: number; colourError: number; originReachMm: number },
): { data: FitData; limits: FitLimits } {
  const { bins, firstMm, binMm } = profile;
  const noise = profileNoise(profile, line, density);
  const marks = markError(line.marks, line.markDensity, ends.frontMm ?? Number.POSITIVE_INFINITY, profile);
  const certain = { shapeError: 0, colourError: 0 };
  const whole: FitData = {
    chance: whitening(noise, density, marks, certain),
    bins,
    firstMm,
    binMm,
    density,
    whiten: whitening(noise, density, marks, errors),
  };
  const lastMm = firstMm + (bins - 1) * binMm;
  const from = ends.originMm === null ? 0 : Math.max(0, Math.round((ends.originMm - FIT_BEFORE_MM - firstMm) / binMm));
  const to = ends.frontMm === null ? bins : Math.min(bins, Math.floor((ends.frontMm - firstMm) / binMm + 0.5));
  return {
    data: cutData(whole, from, to),
    limits: {
      originMm: ends.originMm ?? firstMm - 2 * errors.originReachMm,
      frontMm: ends.frontMm ?? lastMm,
      originReachMm: errors.originReachMm,
    },
  };
}

function meanPaper({ paper }: PaperLine, { bins }: StripProfile): Triple {
  const mean = (c: number): number => paper.subarray(c * bins, (c + 1) * bins).reduce((sum, v) => sum + v / bins, 0);
  return [mean(0), mean(1), mean(2)];
}

function stripFlags(calibration: CompiledCalibration, ends: Ends, profile: StripProfile, fillsStrip: boolean): Flag[] {
  const flags: Flag[] = [];
  if (calibration.calibration.judgement === 'none') flags.push('uncalibrated');
  if (calibration.calibration.judgement === 'poor') flags.push('poor-calibration');
  if (ends.found) flags.push('found');
  if (fillsStrip || profile.side === null) flags.push('no-bare-paper');
  return flags;
}

function sampleTriple(planar: Float64Array, profile: StripProfile, mm: number): Triple {
  const at = Math.min(profile.bins - 1, Math.max(0, (mm - profile.firstMm) / profile.binMm));
  const i = Math.min(profile.bins - 2, Math.floor(at));
  const value = (c: number): number => {
    const k = c * profile.bins + Math.max(0, i);
    return planar[k] + (at - i) * ((planar[k + 1] ?? planar[k]) - planar[k]);
  };
  return [value(0), value(1), value(2)];
}

function viewOf(
  profile: StripProfile,
  density: Float64Array,
  fit: BandFit,
  data: FitData,
  addition: Addition,
  noise: Triple,
  calibration: CompiledCalibration,
  places: Float64Array,
  toBox: (mm: number) => number,
  reversed: boolean,
): StripMeasure['profile'] {
  const { bins, lane } = profile;
  const offset = Math.round((data.firstMm - profile.firstMm) / profile.binMm);
  const fitted = [0, 1, 2].map((c) => {
    const curve = new Float64Array(bins);
    fit.fitted
      .subarray(c * data.bins, (c + 1) * data.bins)
      .forEach((v, i) => (curve[offset + i] = addition.densityOf(c, v)));
    return curve;
  });
  const lab = Array.from(places, (_, i): LabValue => {
    const [L, a, b] = xyzToLab(signalToXyz([lane[i], lane[bins + i], lane[2 * bins + i]], calibration));
    return [L, a, b];
  });
  const absorbanceCurves = [0, 1, 2].map((c) => density.slice(c * bins, (c + 1) * bins));
  return {
    positionMm: reversed ? places.map(toBox).reverse() : places.map(toBox),
    absorbance: reversed ? flip(asThree(absorbanceCurves)) : asThree(absorbanceCurves),
    fitted: reversed ? flip(asThree(fitted)) : asThree(fitted),
    noise,
    lab: reversed ? lab.reverse() : lab,
  };
}

/** Standard deviations of one bin, one a channel. */
function chanceOf({ covariance }: ProfileNoise): Triple {
  return [Math.sqrt(covariance[0]), Math.sqrt(covariance[4]), Math.sqrt(covariance[8])];
}

type ThreeCurves = readonly [Float64Array, Float64Array, Float64Array];

function asThree(curves: readonly Float64Array[]): ThreeCurves {
  return [curves[0], curves[1], curves[2]];
}

function flip(curves: ThreeCurves): ThreeCurves {
  return [curves[0].toReversed(), curves[1].toReversed(), curves[2].toReversed()];
}

/** A strip of which nothing can be told. */
function nothing(input: StripInput, flags: readonly Flag[]): StripMeasure {
  const empty: ThreeCurves = [new Float64Array(0), new Float64Array(0), new Float64Array(0)];
  return {
    id: input.id,
    travel: input.travel,
    quantities: stripQuantities(input.id, [], null, flags, []),
    profile: { positionMm: new Float64Array(0), absorbance: empty, fitted: empty, noise: [0, 0, 0], lab: [] },
    bands: [],
    law: 'densities',
    originRetained: null,
    frontDistance: null,
    originMm: input.originMm,
    frontMm: input.frontMm,
    flags: [...flags, 'no-bands'],
  };
}
