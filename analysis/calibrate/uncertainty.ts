/**
 * How far off a calibrated colour may be, beyond noise: what the target itself shows (patches left out), and what no target can show, that a
 * scanner sees another ink otherwise than the eye does (metamerism, docs/measures.md, "The floor"). All constants were chosen on the odd seeds of
 * the simulated scanners of study/coverage.ts; docs/study/coverage.md shows others.
 */
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, labD50, labToXyz } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { disagreement } from './disagreement.ts';
import type { Calibration } from './calibration.ts';
import { labMetric, lchAxes } from './colourMetric.ts';
import { doubtOf } from './referenceDoubt.ts';
import { type Common, type SharedDoubt, sharedDifference } from './sharedDoubt.ts';
import { type TargetHull, targetHull } from './targetHull.ts';

/** Lightness, chroma and hue part of an error, each in ΔE00. */
type Parts = readonly [lightness: number, chroma: number, hue: number];

/** Patches this near in colour (ΔE00, standard deviation of a bell) speak for a colour. */
const NEIGHBOURHOOD = 10;
/**
 * Without a target: untreated scanners read as sRGB, which are off by twice as much as those whose driver aims at sRGB, but look alike; and
 * scanners read through a profile that another specimen of theirs was given (study/withoutTarget.ts).
 */
const AS_SRGB = { ink: [5, 5.8, 5.5], paper: [3.5, 2, 1.5], share: 0.15 } as const;
const BY_PROFILE = { ink: [1.5, 2.5, 3.5], paper: [0.6, 2, 1.8], share: 0.08 } as const;
/** A target of a few dyes looks better than it teaches; one of many pigments says most. On inks' metamerism, on papers', on differences. */
const TEACHING = {
  'few-dyes': { ink: 1, paper: 1, difference: 1.2 },
  'cannot-tell': { ink: 0.85, paper: 0.85, difference: 1.1 },
  varied: { ink: 0.75, paper: 0.8, difference: 1 },
} as const;
/** Correlation of errors at one place of colour, of two inks on one scan and of two scanners; how far it reaches, ΔE00. */
const SHARED_BY_INKS = 0.5;
const SHARED_BY_SCANNERS = 0.15;
const SHARED_REACH = 20;
/**
 * Mean ΔE00 between what two calibrations say of the same device values. Simulated scanners a day apart show 0.1 to 1.8, mostly below 0.8;
 * two scanners 1.6 to 11. Up to the first it is one scanner, from the second on two.
 */
const ONE_SCANNER = 1.2;
const TWO_SCANNERS = 2.2;
/** What gains, lamp and stray light leave between two days when each has its own target, ΔE00: a constant, and a share of that disagreement. */
const ANOTHER_DAY = { constant: 0.15, share: 0.2 };
/** So far outside the target's colours, in cube-root XYZ (0.01 is about 1 L*), the doubt is √2 times that inside. */
const OUTSIDE_REACH = 0.09;
/** Left-out mean ΔE00 up to which the simulated calibrations speak for this one; worse ones spoil differences in proportion. */
const USUAL_LEFT_OUT = 1.5;

/**
 * Standard uncertainty of L*, a*, b* of an absolute colour: the left-out residuals of the target's nearest patches in quadrature with the
 * metamerism part and with their known values' own. Hue carries most of it, lightness least.
 * @param subject papers without brightener have flat spectra, on which scanner and eye agree better than on any ink
 */
export function colourUncertainty(lab: LabD50, c: Calibration, subject: 'ink' | 'paper' = 'ink'): LabValue {
  const [lightness, chroma, hue] = partsOf(lab, c, subject);
  const axes = lchAxes(lab);
  const along = (axis: 1 | 2): number => Math.hypot(axes.chroma[axis - 1] * chroma, axes.hue[axis - 1] * hue);
  return [axes.lightness * lightness, along(1), along(2)];
}

/**
 * Standard uncertainty in ΔE00 of the difference between two colours of one scanner, where the error is common to both as far as they
 * have colorants in common. For one ink 0 between equal colours, and never more than if nothing cancelled.
 */
export function differenceUncertainty(a: LabD50, b: LabD50, c: Calibration, common: Common): number {
  if (common === 'two inks') return apart(a, b, partsOf(a, c, 'ink'), partsOf(b, c, 'ink'), SHARED_BY_INKS);
  return sharedDifference(deltaE2000(a, b), sharedDoubt(a, c), sharedDoubt(b, c), common);
}

/** Of a colour's differences to others through the same calibration. */
export function sharedDoubt(lab: LabD50, c: Calibration): SharedDoubt {
  const hasTarget = c.leftOutMean !== null;
  return {
    alone: Math.hypot(...partsOf(lab, c, 'ink')),
    teaching: TEACHING[c.colorants.kind].difference,
    worse: hasTarget ? worse(c) : 1,
    share: hasTarget ? 0 : withoutTarget(c).share,
    lightness: lab[0],
    outside: outsideFactor(lab, c),
  };
}

/** A colour as one scan gave it. */
export interface ScannedColour {
  readonly lab: LabD50;
  readonly calibration: Calibration;
  /** @default 'ink' */
  readonly subject?: 'ink' | 'paper';
}

/**
 * Standard uncertainty in ΔE00 of the difference between two colours that two targets' scans calibrated. Two scanners err each in its own
 * way but for a small part; one scanner on two days errs alike, and what is left is what changed between. Which of the two it is the
 * calibrations tell: they agree about the same device values, or they do not. Under one calibration: `differenceUncertainty`.
 * @param disagrees how far the calibrations disagree, ΔE00 (disagreement.ts)
 */
export function differenceBetweenScans(
  a: ScannedColour,
  b: ScannedColour,
  common: Common,
  disagrees = disagreement(a.calibration, b.calibration),
): number {
  const ua = partsOf(a.lab, a.calibration, a.subject ?? 'ink');
  const ub = partsOf(b.lab, b.calibration, b.subject ?? 'ink');
  const two = apart(a.lab, b.lab, ua, ub, SHARED_BY_SCANNERS);
  const oneScanner = Math.min(1, Math.max(0, (TWO_SCANNERS - disagrees) / (TWO_SCANNERS - ONE_SCANNER)));
  if (oneScanner === 0) return two;
  const cancelled = [a, b].map(({ calibration }) => differenceUncertainty(a.lab, b.lab, calibration, common));
  const one = Math.hypot(Math.max(...cancelled), ANOTHER_DAY.constant + ANOTHER_DAY.share * disagrees);
  return Math.sqrt(oneScanner * one ** 2 + (1 - oneScanner) * two ** 2);
}

/**
 * Of a difference far larger than the doubt, only what lies along it counts; of no difference, all of it, since any error then makes one.
 * @param shared correlation of the two errors where the colours are the same
 */
function apart(a: LabD50, b: LabD50, ua: Parts, ub: Parts, shared: number): number {
  const dE00 = deltaE2000(a, b);
  const correlation = shared * Math.exp(-dE00 / SHARED_REACH);
  const variances = [0, 1, 2].map((k) => ua[k] ** 2 + ub[k] ** 2 - 2 * correlation * ua[k] * ub[k]);
  const total = variances[0] + variances[1] + variances[2];
  if (total === 0) return 0;
  const far = (dE00 * dE00) / (dE00 * dE00 + total);
  return Math.sqrt(far * alongTheWay(a, b, variances) + (1 - far) * total);
}

/** The part of variances (lightness, chroma, hue, ΔE00²) that lies along the way from one colour to the other. */
function alongTheWay(a: LabD50, b: LabD50, variances: readonly number[]): number {
  const m = labMetric(labD50((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2));
  const [dL, da, db] = [0, 1, 2].map((k) => b[k] - a[k]);
  const way = [m[0] * dL, m[4] * da + m[5] * db, m[7] * da + m[8] * db].map((step) => step * step);
  const length = way[0] + way[1] + way[2];
  if (length === 0) return Math.max(...variances);
  return (way[0] * variances[0] + way[1] * variances[1] + way[2] * variances[2]) / length;
}

function partsOf(lab: LabD50, c: Calibration, subject: 'ink' | 'paper'): Parts {
  if (c.leftOutMean === null) return quadrature(withoutTarget(c)[subject], c.misfit ?? [0, 0, 0]);
  const { seen, reference } = nearestPatches(lab, c);
  // A doubt of the known values has no direction here.
  const known = reference / Math.sqrt(3);
  if (subject === 'paper') {
    // The white anchors the fit; left out, it says more of the anchor than of papers, so no patch speaks here.
    const factor = worse(c) * TEACHING[c.colorants.kind].paper;
    const [lightness, chroma, hue] = paperMetamerism(lab);
    return quadrature([factor * lightness, factor * chroma, factor * hue], [known, known, known]);
  }
  const own = quadrature(seen, inkMetamerism(lab, TEACHING[c.colorants.kind].ink));
  const outside = outsideFactor(lab, c);
  return quadrature([outside * own[0], outside * own[1], outside * own[2]], [known, known, known]);
}

/** How many times the doubt among the target's own colours a colour has for lying outside them; 1 inside, and without a target. */
function outsideFactor(lab: LabD50, c: Calibration): number {
  const hull = knownHull(c);
  return hull === null ? 1 : Math.hypot(1, hull.outside(labToXyz(lab)) / OUTSIDE_REACH);
}

/** Of a target's known colours, not of its signals: of a colour that is asked for only Lab is known. */
function knownHull(c: Calibration): TargetHull | null {
  const kept = knownHulls.get(c);
  if (kept !== undefined) return kept;
  const known = c.patches.filter(({ flags }) => !flags.includes('clipped') && !flags.includes('covered'));
  const hull = known.length > 3 ? targetHull(known.map(({ reference }) => labToXyz(reference))) : null;
  knownHulls.set(c, hull);
  return hull;
}
const knownHulls = new WeakMap<Calibration, TargetHull | null>();

function worse(c: Calibration): number {
  return Math.max(1, (c.leftOutMean ?? 0) / USUAL_LEFT_OUT);
}

function withoutTarget(c: Calibration): typeof AS_SRGB | typeof BY_PROFILE {
  return c.model === 'nominal' ? AS_SRGB : BY_PROFILE;
}

function quadrature(a: Parts, b: Parts): Parts {
  return [Math.hypot(a[0], b[0]), Math.hypot(a[1], b[1]), Math.hypot(a[2], b[2])];
}

/** Grows with the distance from white, since metamerism needs absorption; of strong colours chroma and hue are better known than of dull ones. */
function inkMetamerism(lab: LabD50, factor: number): Parts {
  const chroma = Math.hypot(lab[1], lab[2]);
  const fromWhite = distanceFromWhite(lab);
  return [
    factor * (0.05 + 0.0115 * fromWhite),
    (factor * (1.4 + 0.052 * fromWhite)) / (1 + (2.2 * chroma) / 50),
    (factor * (0.55 + 0.076 * fromWhite)) / (1 + chroma / 50),
  ];
}

function paperMetamerism(lab: LabD50): Parts {
  const fromWhite = distanceFromWhite(lab);
  return [0.14 + 0.002 * fromWhite, 0.3 + 0.018 * fromWhite, 0.35 + 0.023 * fromWhite];
}

function distanceFromWhite(lab: LabD50): number {
  return Math.hypot(Math.max(0, 97 - lab[0]), lab[1], lab[2]);
}

/**
 * Weighted by nearness; far from every patch the whole target speaks.
 * @returns root mean square of the left-out residuals, and of the known values' own uncertainties (ΔE00): a taught card's hold its teacher's
 * error, which no patch of the card shows
 */
function nearestPatches(lab: LabD50, c: Calibration): { readonly seen: Parts; readonly reference: number } {
  const sums = [0, 0, 0];
  let known = 0;
  let total = 0;
  for (const patch of c.patches) {
    if (patch.flags.includes('clipped') || patch.flags.includes('covered')) continue;
    const away = deltaE2000(lab, patch.reference) / NEIGHBOURHOOD;
    const weight = Math.exp(-(away * away) / 2) + 1e-4;
    const m = labMetric(patch.reference);
    const [dL, da, db] = [0, 1, 2].map((k) => patch.leftOut[k] - patch.reference[k]);
    sums[0] += weight * (m[0] * dL) ** 2;
    sums[1] += weight * (m[4] * da + m[5] * db) ** 2;
    sums[2] += weight * (m[7] * da + m[8] * db) ** 2;
    if (patch.referenceU) known += weight * doubtOf(patch.reference, patch.referenceU) ** 2;
    total += weight;
  }
  if (total === 0) return { seen: [0, 0, 0], reference: 0 };
  return {
    seen: [Math.sqrt(sums[0] / total), Math.sqrt(sums[1] / total), Math.sqrt(sums[2] / total)],
    reference: Math.sqrt(known / total),
  };
}
