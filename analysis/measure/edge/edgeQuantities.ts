/** What was found at the edges as quantities, each with its doubt. */
import { signalToXyz } from '../../calibrate/apply.ts';
import { differenceUncertainty } from '../../calibrate/uncertainty.ts';
import { deltaE2000 } from '../../colour/deltaE.ts';
import { hueDeg, type LabD50, xyzToLab } from '../../colour/lab.ts';
import type { Flag, Quantity, QuantityName, Subject, Unit } from '../../quantity.ts';
import { triple } from '../../triple.ts';
import type { RegionInput } from '../region.ts';
import { combine } from '../uncertainty.ts';
import { HALO_LIMITS, HALO_WORDS, SPREAD_LIMITS, verdict } from '../verdict.ts';
import { jackknife } from '../../scatter.ts';
import type { Across, RingFit } from './across.ts';
import { EDGE_METHODS, type EdgeSetting, missing, quantity, SCALE } from './edgeQuantity.ts';
import type { Feathering, Raggedness } from './excursions.ts';
import { featheringQuantities, fringeOfHairs, hairsPerCm } from './hairQuantities.ts';
import { SIGMAS_10_90 } from '../../normalCurve.ts';
import type { WidthFigures } from './widths.ts';

/** Beyond these, %, the nib's width or the scan's dpi is wrong rather than the line so narrow or so broad; common practice, no source. */
const LEAST_SPREAD = -40;
const MOST_SPREAD = 150;
/** How far a curve of device values may shift the half level, as a share of the fall. */
const LEVEL = 0.005;
/** What an edge's mean place is off by whatever the noise, px: phase on the grid, shape of the blur (study edges). */
const EDGE_PX = 0.004;
/** … of a line that blur has left no core, and of one in a halo. */
const NARROW_EDGE_PX = 0.01;
const HALO_EDGE_PX = 0.01;
/** How far off a line may be whose edges are seen in the gaps of a fringe of hairs, as a share of what those make it broader, and in sigmas of blur, which fills the gaps (drawn lines, 12 to 50 hairs a cm). */
const FRINGE_SHARE = 0.8;
const FRINGE_SIGMAS = 0.5;
/** A line below this many sigma of blur has no core of its own (lineEdges.ts). */
const NARROW_SIGMAS = 7;
/** Below this many sigma height and width of a blurred box begin to stand for one another: so much more for each sigma less, px. */
const FUSED_SIGMAS = 5;
const FUSED_EDGE_PX = 0.025;
/** Roots of hairs widen a line, roughen its edges between them and soften them, mm for each hair a cm (study edges). */
const WIDER_BY_HAIRS_MM = 0.0005;
/** A scatter of widths below this is hardly told from none, px (study edges). */
const SD_PX = 0.045;
/** Half of what waves that the blur has levelled add to the scatter is in doubt: both edges may wave together or against each other. */
const LEVELLED = 0.5;
/** Of a line of so few pixels across, its place on the grid scatters the widths: so much of their variance is in doubt, px². Its fall is no edge's (written lines at 60–150 dpi). */
const FEW_ACROSS_PX = 3;
const SD_FEW_ACROSS_PX2 = 0.03;
const FEW_PX = 60;
/** Relative doubt of the scanner's sigma from the card's edges. */
const SCANNER_SIGMA = 0.025;
/** A fitted sigma is off by so much whatever the noise, px; more where a ring is fitted as well (study edges). */
const GRID_SIGMA_PX = 0.015;
const RING_SIGMA_PX = 0.03;
/** A scanner's blur of so few px leaves an edge two pixels or three: in doubt by so much more, px² (three benches at 150 dpi and 0.3 px: 0.09 mm were found for 0). */
const FEW_BLUR_PX = 0.45;
const FEW_BLUR_PX2 = 0.06;
/** … and by so much more in a line of fewer pixels across than this, whose two falls nearly meet. */
const NEAR_FALLS = { belowPx: 4.5, sigmaPx: 0.05 } as const;

export interface EdgeFigures {
  readonly width: WidthFigures;
  readonly at60: WidthFigures | null;
  readonly raggedness: Raggedness | null;
  readonly feathering: Feathering | null;
  readonly across: Across;
  /** By how much hairs so close that they hide one another make the lines broader, px; null where there are none such (foundEdges.ts). @default null */
  readonly fringePx?: number | null;
}

/**
 * Widths, spread, raggedness, feathering, blur and halo (docs/measures.md, "Lines and edges"); what cannot be told is there as null with
 * its flag.
 */
export function edgeQuantities(figures: EdgeFigures, setting: EdgeSetting): Quantity[] {
  const { width, across, fringePx = null } = figures;
  const isFringe = fringePx !== null;
  const flags: Flag[] = [...setting.flags];
  if (width.mean < NARROW_SIGMAS * across.sigmaPx) flags.push('blur-corrected');
  if (width.mean < FEW_ACROSS_PX) flags.push('below-resolution');
  if (across.ring && !isFringe) flags.push('beside-halo');
  if (width.lengthPx < FEW_PX) flags.push('few-pixels');
  const told = { ...setting, flags };
  if (isFringe) {
    const seen = { ...figures, across: { ...across, ring: null }, raggedness: null };
    return [...widthQuantities(seen, told), ...fringeQuantities(seen, told)];
  }
  return [
    ...widthQuantities(figures, told),
    ...edgeCourse(figures, told),
    blurQuantity(figures, told),
    ...haloQuantities(figures, told),
  ];
}

/** What hairs that hide one another leave to be told of the edge: how far they reach, and how many there are at least. */
function fringeQuantities({ feathering }: EdgeFigures, setting: EdgeSetting): Quantity[] {
  const { subject } = setting;
  const why: readonly Flag[] = [...setting.flags, 'cannot-tell'];
  return [
    missing('lineWidth.at60', 'mm', why, subject, EDGE_METHODS.lineWidth),
    missing('raggedness', 'mm', why, subject, EDGE_METHODS.raggedness),
    ...fringeOfHairs(feathering, setting),
    missing('edgeBlur', 'mm', why, subject, EDGE_METHODS.edgeBlur),
    missing('halo', 'mm', why, subject, EDGE_METHODS.halo),
    missing('halo.dE', 'ΔE00', why, subject, EDGE_METHODS.halo),
    missing('halo.hue', '°', why, subject, EDGE_METHODS.halo),
  ];
}

function widthQuantities(
  { width, at60, across, raggedness, feathering, fringePx = null }: EdgeFigures,
  setting: EdgeSetting,
): Quantity[] {
  const { pxPerMm, nibWidthMm, scannerSigmaPx } = setting;
  const blurPx = scannerSigmaPx ?? across.sigmaPx;
  const mm = width.mean / pxPerMm;
  const narrow = width.mean < NARROW_SIGMAS * across.sigmaPx;
  const fused = FUSED_EDGE_PX * Math.max(0, FUSED_SIGMAS - width.mean / across.sigmaPx);
  const edgePx = across.ring ? HALO_EDGE_PX : narrow ? Math.hypot(NARROW_EDGE_PX, fused) : EDGE_PX;
  const ringWidth = across.ring ? jackknife(across.ring.parts.map((p) => p.widthPx)) : 0;
  // A level that is off moves an edge by its share over the slope, σ√(2π) for the whole fall.
  const calibration = Math.hypot(SCALE * mm, (2 * LEVEL * across.sigmaPx * Math.sqrt(2 * Math.PI)) / pxPerMm);
  const byHairs = WIDER_BY_HAIRS_MM * hairsPerCm(feathering, pxPerMm);
  const fringe = fringePx === null ? 0 : Math.hypot(FRINGE_SHARE * fringePx, FRINGE_SIGMAS * blurPx);
  const placement = Math.hypot(Math.hypot(2 * Math.hypot(edgePx, 0.3 * ringWidth), fringe) / pxPerMm, byHairs);
  const own = combine(width.repeatMean / pxPerMm, calibration, placement);
  // Short waves of the edges that the blur has levelled belong to the scatter as well, those of both edges.
  const levelled = raggedness ? 2 * Math.max(0, raggedness.px ** 2 - raggedness.scannedPx ** 2) : 0;
  const sdPx = Math.sqrt(width.sd ** 2 + levelled);
  const sdDoubt = width.mean < FEW_ACROSS_PX ? SD_FEW_ACROSS_PX2 : SD_PX ** 2;
  const sd = combine(
    width.repeatSd / pxPerMm,
    SCALE * (sdPx / pxPerMm),
    Math.hypot(Math.hypot(LEVELLED * (sdPx - width.sd), rooted(sdPx ** 2, sdDoubt), fringe) / pxPerMm, byHairs),
  );
  const method = EDGE_METHODS.lineWidth;
  const out: Quantity[] = [
    quantity('lineWidth', mm, 'mm', own, setting, method),
    quantity('lineWidth.sd', sdPx / pxPerMm, 'mm', sd, setting, method),
  ];
  if (at60) {
    const u = combine(at60.repeatMean / pxPerMm, calibration, placement);
    out.push(quantity('lineWidth.at60', at60.mean / pxPerMm, 'mm', u, setting, method));
  }
  if (nibWidthMm === null) {
    out.push(missing('spread', '%', [...setting.flags, 'no-nib-width'], setting.subject, EDGE_METHODS.spread));
  } else {
    const percent = (v: number) => (100 * v) / nibWidthMm;
    const value = percent(mm) - 100;
    const u = combine(percent(width.repeatMean / pxPerMm), percent(calibration), percent(placement));
    const found = quantity('spread', value, '%', u, setting, EDGE_METHODS.spread);
    const isDoubtful = value < LEAST_SPREAD || value > MOST_SPREAD;
    out.push(
      isDoubtful
        ? { ...found, flags: [...found.flags, 'nib-width-doubtful'] }
        : { ...found, verdict: verdict(value, u.u, SPREAD_LIMITS), limits: SPREAD_LIMITS },
    );
  }
  return out;
}

/** Doubt of a root near nothing, from that of its square. */
function rooted(square: number, doubt: number): number {
  return Math.sqrt((Math.sqrt(square ** 2 + doubt ** 2) - square) / 2);
}

/**
 * What is in doubt of raggedness's variance, as shares (study edges): of what the blur's undoing added, of waves too long for the path to leave and
 * too short for the blur to leave; and what noise and grid do whatever the edge, px² and mm².
 */
const RESTORED = 0.05;
const LONG_WAVES = 1.8;
const SHORT_WAVES = 1.2;
const RAGGED_FLOOR_PX2 = 0.0022;
const RAGGED_FLOOR_MM = 0.0015;
function edgeCourse({ raggedness, feathering, across }: EdgeFigures, setting: EdgeSetting): Quantity[] {
  const { pxPerMm, subject, flags } = setting;
  const out: Quantity[] = [];
  if (raggedness === null) {
    out.push(missing('raggedness', 'mm', [...flags, 'few-pixels'], subject, EDGE_METHODS.raggedness));
  } else {
    const { px, scannedPx, repeat, unseen } = raggedness;
    const doubt = Math.hypot(
      LONG_WAVES * unseen.long,
      SHORT_WAVES * unseen.short,
      RAGGED_FLOOR_PX2 + (RAGGED_FLOOR_MM * pxPerMm) ** 2,
      RESTORED * Math.abs(px ** 2 - scannedPx ** 2),
    );
    const u = combine(
      repeat / pxPerMm,
      (SCALE * px) / pxPerMm,
      Math.hypot(rooted(px ** 2, doubt) / pxPerMm, WIDER_BY_HAIRS_MM * hairsPerCm(feathering, pxPerMm)),
    );
    out.push(quantity('raggedness', px / pxPerMm, 'mm', u, setting, EDGE_METHODS.raggedness));
  }
  return [...out, ...featheringQuantities(feathering, across.sigmaPx, setting)];
}

function blurQuantity({ across, raggedness, feathering, width }: EdgeFigures, setting: EdgeSetting): Quantity {
  const { pxPerMm, scannerSigmaPx, subject, flags } = setting;
  const method = EDGE_METHODS.edgeBlur;
  if (scannerSigmaPx === null) return missing('edgeBlur', 'mm', [...flags, 'cannot-tell'], subject, method);
  if (width.mean < FEW_ACROSS_PX) return missing('edgeBlur', 'mm', flags, subject, method);
  // Short waves of the edge that the scanner levelled along it widen the fall across it by as much.
  const levelled = raggedness ? Math.max(0, raggedness.px ** 2 - raggedness.scannedPx ** 2) : 0;
  const { sigmaPx, uSigmaPx, ring } = across;
  const scale = (SIGMAS_10_90 / pxPerMm) ** 2;
  const square = scale * Math.max(0, sigmaPx ** 2 - levelled - scannerSigmaPx ** 2);
  const ofSquare = (doubt: number) => rooted(square, scale * doubt);
  const byHairs = WIDER_BY_HAIRS_MM * pxPerMm * hairsPerCm(feathering, pxPerMm);
  const near = width.mean < NEAR_FALLS.belowPx ? NEAR_FALLS.sigmaPx : 0;
  const grid = GRID_SIGMA_PX + near + (ring ? RING_SIGMA_PX : 0) + byHairs;
  const u = combine(
    ofSquare(2 * sigmaPx * uSigmaPx),
    ofSquare(2 * SCANNER_SIGMA * scannerSigmaPx ** 2),
    ofSquare(Math.hypot(2 * sigmaPx * grid, 0.5 * levelled, scannerSigmaPx < FEW_BLUR_PX ? FEW_BLUR_PX2 : 0)),
  );
  const corrected: readonly Flag[] = [...new Set<Flag>([...flags, 'blur-corrected'])];
  return quantity('edgeBlur', Math.sqrt(square), 'mm', u, { ...setting, flags: corrected }, method);
}

/** Hairs make a ring uneven: its width is off by so much for each a cm, mm (drawn hairs in rings, 5 a cm). */
const RING_BY_HAIRS_MM = 0.001;
/** What a ring could hide in, without one: a pixel of the scan. */
const HIDDEN_PX = 0.4;
const RING_EDGE_PX = 0.014;
/** A line below so many sigma of blur has hardly a core, so that core and ring begin to stand for one another: px and a share of the ring's step for each sigma less. */
const RING_SIGMAS = 7;
const RING_FUSED_PX = 0.012;
const RING_FUSED_SHARE = 0.006;
/** The narrower the ring against the blur, the more its level and its width stand for one another: share of its step for each sigma over its width; ΔE00 whatever the ring. */
const RING_BLURRED_SHARE = 0.05;
const RING_DE = 0.03;

/** Of what other strokes' rings add so much may be left, as a share; where the ring was nowhere seen apart from them, of its width (handwriting in rings, study edges). */
const CROWDED_LEFT = 0.5;
const CROWDED = 0.05;

/** What model and neighbours leave in doubt of a ring's width, px. */
function ringDoubt({ widthPx, oneBlur, crowded, isApart }: RingFit): number {
  const others = isApart ? CROWDED_LEFT * Math.abs(crowded.widthPx - widthPx) : CROWDED * widthPx;
  return Math.hypot(oneBlur.widthPx - widthPx, others);
}

function haloQuantities({ across, width, feathering }: EdgeFigures, setting: EdgeSetting): Quantity[] {
  const { pxPerMm, subject, flags } = setting;
  const method = EDGE_METHODS.halo;
  const { ring } = across;
  const fused = Math.max(0, RING_SIGMAS - width.mean / across.sigmaPx);
  const value = ring ? ring.widthPx / pxPerMm : 0;
  const u = ring
    ? combine(
        jackknife(ring.parts.map((p) => p.widthPx)) / pxPerMm,
        SCALE * value,
        Math.hypot(
          Math.hypot(RING_EDGE_PX, RING_FUSED_PX * fused, ringDoubt(ring)) / pxPerMm,
          RING_BY_HAIRS_MM * hairsPerCm(feathering, pxPerMm),
        ),
      )
    : combine(0, 0, HIDDEN_PX / pxPerMm);
  const halo: Quantity = {
    ...quantity('halo', value, 'mm', u, setting, method),
    verdict: verdict(value, u.u, HALO_LIMITS, HALO_WORDS),
    limits: HALO_LIMITS,
  };
  if (ring === null) {
    const none: readonly Flag[] = [...flags, 'cannot-tell'];
    return [halo, missing('halo.dE', 'ΔE00', none, subject, method), missing('halo.hue', '°', none, subject, method)];
  }
  return [halo, ...ringColour(ring, across, fused, setting)];
}

function ringColour(ring: RingFit, across: Across, fused: number, setting: EdgeSetting): Quantity[] {
  const { input, flags, subject } = setting;
  const method = EDGE_METHODS.halo;
  const paper = input.bare!.lab;
  const lab = ringLab(ring.ratio, input);
  const dE = deltaE2000(lab, paper);
  const labs = ring.parts.map((p) => ringLab(p.ratio, input));
  const calibration = differenceUncertainty(lab, paper, input.calibration.calibration, 'one paper');
  const level = RING_BLURRED_SHARE * Math.min(3, across.sigmaPx / ring.widthPx) + RING_FUSED_SHARE * fused;
  const byBlur = deltaE2000(ringLab(ring.oneBlur.ratio, input), paper) - dE;
  const byOthers = CROWDED_LEFT * (deltaE2000(ringLab(ring.crowded.ratio, input), paper) - dE);
  const placement = Math.hypot(RING_DE, level * dE, byBlur, byOthers);
  const u = combine(jackknife(labs.map((l) => deltaE2000(l, paper))), calibration, placement);
  const [da, db] = [lab[1] - paper[1], lab[2] - paper[2]];
  const chroma = Math.hypot(da, db);
  const scatter = Math.hypot(jackknife(labs.map((l) => l[1])), jackknife(labs.map((l) => l[2])));
  const toDegrees = (d: number) => (d / Math.max(chroma, 1e-6)) * (180 / Math.PI);
  const tells = chroma > 2 * Math.hypot(scatter, calibration) && chroma > 0.5;
  const hue = combine(toDegrees(scatter), toDegrees(calibration), toDegrees(placement));
  return [
    quantity('halo.dE', dE, 'ΔE00', u, setting, method),
    tells
      ? quantity('halo.hue', hueDeg([0, da, db]), '°', hue, setting, method)
      : missing('halo.hue', '°', [...flags, 'cannot-tell'], subject, method),
  ];
}

/** Lab of a share of the paper's light, on the reference paper. */
export function ringLab(ratio: readonly number[], input: RegionInput): LabD50 {
  const paper = input.bare!.signal;
  return xyzToLab(
    signalToXyz(
      triple((c) => Math.max(0, ratio[c] * paper[c])),
      input.calibration,
    ),
  );
}

/** All that `edgeQuantities` would tell, with nothing told and why. */
export function noEdges(subject: Subject, flags: readonly Flag[]): Quantity[] {
  const none = (name: QuantityName, unit: Unit, method: string) => missing(name, unit, flags, subject, method);
  return [
    none('lineWidth', 'mm', EDGE_METHODS.lineWidth),
    none('spread', '%', EDGE_METHODS.spread),
    none('raggedness', 'mm', EDGE_METHODS.raggedness),
    none('feathering', 'mm', EDGE_METHODS.feathering),
    none('edgeBlur', 'mm', EDGE_METHODS.edgeBlur),
    none('halo', 'mm', EDGE_METHODS.halo),
  ];
}
