/**
 * How far off a calibrated colour may be, beyond noise: what the target itself shows (patches left out), and what no target of
 * dyes can show, that a scanner sees another ink otherwise than the eye does (metamerism, docs/measures.md, "The floor").
 * The constants were chosen on one half of the simulated scanners of study/calibration.ts; docs/study/calibration.md shows the other
 * half. There ± 2u holds 93–95 % of figures, over the sample scans' own scanners, which see more as the eye does, 98 %.
 */
import { deltaE2000 } from '../colour/deltaE.ts';
import type { LabD50 } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import type { Calibration } from './calibration.ts';
import { labMetric, lchAxes } from './colourMetric.ts';

/** Lightness, chroma and hue part of an error, each in ΔE00. */
type Parts = readonly [lightness: number, chroma: number, hue: number];

/** Patches this near in colour (ΔE00, standard deviation of a bell) speak for a colour. */
const NEIGHBOURHOOD = 10;
/** Read as sRGB by default, nothing is known of the device. From experience with untreated scans; no source. */
const UNCALIBRATED: Parts = [3, 3.5, 4];
const UNCALIBRATED_SHARE = 0.15;
/**
 * Of the doubt between two papers, what is left between two doses on one; from rendered benches whose inks are as hard for
 * a map as real dyes are (docs/study/accuracy.md). The drawn scanners of docs/study/calibration.md are harder than those.
 */
const ONE_PAPER_SHARE = 0.6;
/** The same benches' share of the metamerism that the drawn scanners show. */
const INK_SHARE = 0.7;
/** Left-out mean ΔE00 up to which the simulated calibrations speak for this one; worse ones spoil differences in proportion. */
const USUAL_LEFT_OUT = 1.5;

/**
 * Standard uncertainty of L*, a*, b* of an absolute colour: the left-out residuals of the target's nearest patches in quadrature with the
 * metamerism part. Hue carries most of it, lightness least.
 * @param subject papers without brightener have flat spectra, on which scanner and eye agree better than on any ink
 */
export function colourUncertainty(lab: LabD50, c: Calibration, subject: 'ink' | 'paper' = 'ink'): LabValue {
  const [lightness, chroma, hue] = partsOf(lab, c, subject);
  const axes = lchAxes(lab);
  const along = (axis: 1 | 2): number => Math.hypot(axes.chroma[axis - 1] * chroma, axes.hue[axis - 1] * hue);
  return [axes.lightness * lightness, along(1), along(2)];
}

/**
 * Standard uncertainty in ΔE00 of the difference between two colours of one scanner, where most of the error is common to both and cancels:
 * two doses of one ink on one paper, which most is common to, or one ink on two papers. 0 between equal colours, more the darker they are, never more than if nothing cancelled.
 */
export function differenceUncertainty(
  a: LabD50,
  b: LabD50,
  c: Calibration,
  grounds: 'one paper' | 'two papers',
): number {
  const dE00 = deltaE2000(a, b);
  const share = grounds === 'one paper' ? ONE_PAPER_SHARE : 1;
  const apart = Math.SQRT2 * Math.max(Math.hypot(...partsOf(a, c, 'ink')), Math.hypot(...partsOf(b, c, 'ink')));
  const own = share * metamerismOfDifference(dE00, a, b);
  if (c.leftOutMean === null) return Math.min(apart, UNCALIBRATED_SHARE * dE00 + own);
  return Math.min(apart, own * Math.max(1, c.leftOutMean / USUAL_LEFT_OUT));
}

function metamerismOfDifference(dE00: number, a: LabD50, b: LabD50): number {
  const darkness = Math.min(1, Math.max(0, 1 - Math.min(a[0], b[0]) / 100));
  return 0.29 * dE00 ** 0.4 * (1 + 0.7 * darkness);
}

function partsOf(lab: LabD50, c: Calibration, subject: 'ink' | 'paper'): Parts {
  if (c.leftOutMean === null) return UNCALIBRATED;
  if (subject === 'paper') {
    // The white anchors the fit; left out, it says more of the anchor than of papers, so no patch speaks here.
    const worse = Math.max(1, c.leftOutMean / USUAL_LEFT_OUT);
    const [lightness, chroma, hue] = paperMetamerism(lab);
    return [worse * lightness, worse * chroma, worse * hue];
  }
  const seen = leftOutNear(lab, c);
  const unseen = inkMetamerism(lab);
  return [Math.hypot(seen[0], unseen[0]), Math.hypot(seen[1], unseen[1]), Math.hypot(seen[2], unseen[2])];
}

/** Grows with the distance from white, since metamerism needs absorption; of strong colours chroma and hue are better known than of dull ones. */
function inkMetamerism(lab: LabD50): Parts {
  const chroma = Math.hypot(lab[1], lab[2]);
  const fromWhite = distanceFromWhite(lab);
  return [
    INK_SHARE * (0.05 + 0.0115 * fromWhite),
    (INK_SHARE * (1.4 + 0.052 * fromWhite)) / (1 + (2.2 * chroma) / 50),
    (INK_SHARE * (0.55 + 0.076 * fromWhite)) / (1 + chroma / 50),
  ];
}

function paperMetamerism(lab: LabD50): Parts {
  const fromWhite = distanceFromWhite(lab);
  return [0.14 + 0.002 * fromWhite, 0.3 + 0.018 * fromWhite, 0.35 + 0.023 * fromWhite];
}

function distanceFromWhite(lab: LabD50): number {
  return Math.hypot(Math.max(0, 97 - lab[0]), lab[1], lab[2]);
}

/** Root mean square of the left-out residuals, weighted by nearness; far from every patch the whole target speaks. */
function leftOutNear(lab: LabD50, c: Calibration): Parts {
  const sums = [0, 0, 0];
  let total = 0;
  for (const patch of c.patches) {
    if (patch.flags.includes('clipped')) continue;
    const away = deltaE2000(lab, patch.reference) / NEIGHBOURHOOD;
    const weight = Math.exp(-(away * away) / 2) + 1e-4;
    const m = labMetric(patch.reference);
    const [dL, da, db] = [0, 1, 2].map((k) => patch.leftOut[k] - patch.reference[k]);
    sums[0] += weight * (m[0] * dL) ** 2;
    sums[1] += weight * (m[4] * da + m[5] * db) ** 2;
    sums[2] += weight * (m[7] * da + m[8] * db) ** 2;
    total += weight;
  }
  if (total === 0) return [0, 0, 0];
  return [Math.sqrt(sums[0] / total), Math.sqrt(sums[1] / total), Math.sqrt(sums[2] / total)];
}
