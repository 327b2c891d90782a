/** A calibration in sentences: how good it is and why, how it was made, and what its scanner does. */
import { FIT_DEFAULTS } from '../../analysis/calibrate/fit.ts';
import type { Calibration, ColourModelName, PatchFlag, PatchResult } from '../../analysis/calibrate/calibration.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { capital, listed } from '../../analysis/report/words.ts';
import type { LocatedBy } from '../jobs/tasks.ts';
import type { ScannerIdentity } from '../scans/scannerIdentity.ts';
import type { ReportCandidate, ReportLight, ReportScan } from './reportShape.ts';

export const MODEL_WORDS: Readonly<Record<ColourModelName, string>> = {
  linear: 'a 3 × 3 matrix',
  affine: 'a 3 × 3 matrix with an offset',
  rootPolynomial2: 'a root polynomial of degree 2',
  rootPolynomial3: 'a root polynomial of degree 3',
  nominal: 'sRGB, for want of a target',
};

/** Good, usable or poor, why, and what to do about it; what its cautions say already is not said twice. */
export function judgementSentence({ judgement, leftOutMedian, patches, cautions }: Calibration): string {
  if (judgement === 'none' || leftOutMedian === null)
    return 'None: no target, so numbers are relative and flagged uncalibrated.';
  const told = new Set(cautions.map(({ code }) => code));
  const clipped = told.has('clipped') ? [] : patches.filter((p) => p.flags.includes('clipped')).map((p) => p.id);
  const aside = clipped.length === 0 ? '' : ` Clipped and left out: ${someOf(clipped)}; scan with less exposure.`;
  const median = `a patch that the fit never saw is missed by ${fixed(leftOutMedian, 2)} ΔE00 in the median`;
  const flagged = judgement === 'poor' ? ' Every number will carry a flag.' : '';
  if (isHeldDown({ judgement, leftOutMedian })) {
    // A caution holds it down.
    return `${capital(judgement)}, although ${median}: what is to be mended weighs more.${flagged}`;
  }
  if (judgement === 'good') return `Good: ${median}, no more than the 1.0 that counts as good.${aside}`;
  if (judgement === 'usable') {
    return `Usable: ${median}, above the 1.0 of a good calibration but no more than 2.0. Fine differences need care.${aside}`;
  }
  const mend = told.has('other-target')
    ? ''
    : " See that the reference belongs to this target, that the scanner's corrections are off, and that nothing is clipped.";
  return `Poor: ${median}, more than the 2.0 that can be used; every number will carry a flag.${mend}${aside}`;
}

function byMedian(leftOutMedian: number): Calibration['judgement'] {
  const [good, usable] = FIT_DEFAULTS.judgementLimits;
  return leftOutMedian <= good ? 'good' : leftOutMedian <= usable ? 'usable' : 'poor';
}

/** Whether a caution holds the judgement below what the figures alone would give. */
export function isHeldDown({ judgement, leftOutMedian }: Pick<Calibration, 'judgement' | 'leftOutMedian'>): boolean {
  return leftOutMedian !== null && judgement !== 'none' && judgement !== byMedian(leftOutMedian);
}

const FLAG_WORDS: Readonly<Record<PatchFlag, (patch: Pick<PatchResult, 'clippedShare'>) => string>> = {
  clipped: ({ clippedShare }) => `clipped (${percent(100 * clippedShare)} of its pixels); left out of every fit`,
  covered: () => 'covered or uneven; left out of every fit',
  'not-monotone': () => 'a grey out of its order; read together with its neighbour',
};

export function patchNotes(patch: Pick<PatchResult, 'flags' | 'clippedShare'>): string[] {
  return patch.flags.map((flag) => FLAG_WORDS[flag](patch));
}

export function modelSentence(candidates: readonly ReportCandidate[], model: ColourModelName): string {
  const chosen = candidates.find((c) => c.chosen);
  const [best] = candidates;
  const name = capital(MODEL_WORDS[model]);
  if (!chosen || !best) return `${name}.`;
  const all = `of ${candidates.length} candidates`;
  if (chosen === best) return `${name}: the best ${all}, each judged by leaving every patch out in turn.`;
  return (
    `${name}: the simplest ${all} whose left-out mean lies within one standard error of the best ` +
    `(${fixed(best.leftOutMean, 2)} ΔE00 by ${MODEL_WORDS[best.model]}; standard error ${fixed(best.standardError, 2)}).`
  );
}

/** Above this nobody need look; below 0.5 everybody should. */
const SURE = 0.8;

export function locatedSentence(located: LocatedBy | null): string {
  if (!located) return 'How it was located was not kept by the version that calibrated it.';
  if (located.by === 'person') return `Located ${located.words}.`;
  const figure = `${fixed(located.score, 2)} of 1`;
  const sure =
    located.score >= SURE
      ? `sure (${figure})`
      : located.score > 0.5
        ? `fairly sure (${figure}): see that the grid lies on the patches`
        : `unsure (${figure}): see that the grid lies on the patches, else place its four points by hand`;
  return `Located ${located.words}: ${sure}.`;
}

/** Medians for inks by simulated scanners (docs/study/calibration.md). */
export function colorantsSentence({ kind, by }: Calibration['colorants']): string {
  const how = { spectra: 'by the spectra of its reference', greys: 'by its greys', nothing: '' }[by];
  const told = how === '' ? '' : `, ${how}`;
  if (kind === 'few-dyes') {
    return (
      `It seems to be printed with few dyes${told}. Such a target teaches inks worse: a perfect scan of it leaves ` +
      `1.5 to 1.8 ΔE00 in the median where varied pigments leave 1.1. A target of varied pigments would be surer.`
    );
  }
  if (kind === 'varied') {
    return `It seems to hold many colorants${told}: it teaches inks as well as a target can, to about 1.1 ΔE00 in the median.`;
  }
  return 'What it is printed with cannot be told: its reference has no spectra and its greys do not say. Few dyes would teach inks worse than varied pigments.';
}

export function referenceSentence(u: { readonly median: number; readonly largest: number } | null): string {
  if (!u) return 'Its known values are taken as exact: the reference gives no uncertainties.';
  return `Its known values are sure to ± ${fixed(2 * u.median, 1)} ΔE*ab in the median and ± ${fixed(2 * u.largest, 1)} at worst (twice their standard uncertainty).`;
}

export function scannerName(identity: ScannerIdentity | null): string | null {
  if (!identity) return null;
  const { make, model } = identity;
  // Many models repeat their maker's name.
  const name = make !== null && model?.toLowerCase().startsWith(make.toLowerCase()) ? model : [make, model];
  const words = (typeof name === 'string' ? [name] : name).filter((part) => part !== null).join(' ');
  return words === '' ? null : words;
}

export function scannerSentence(identity: ScannerIdentity | null): string {
  const name = scannerName(identity);
  const software = identity?.software ?? null;
  if (name === null && software === null) return 'The file does not name its scanner.';
  if (name === null) return `The file names no scanner, only the software “${software}”.`;
  return software === null ? `${name}.` : `${name}, driven by ${software}.`;
}

export function noiseSentence(noise: Calibration['noise']): string {
  if (!noise) return 'Too few pixels to tell how one scatters.';
  return `One pixel scatters by ${fixed(noise.lightL, 2)} L* on the lightest patches and ${fixed(noise.darkL, 2)} L* on the darkest (standard deviation; the target’s own grain counts in).`;
}

/** 10–90 % distance across an edge that is blurred by a Gaussian of sigma 1: 2 × 1.2816. */
export const EDGE_WIDTH = 2.5631;
/** Strokes narrower than this are 'below-resolution', and read along their core below the other (docs/measures.md). */
const FEWEST_PX = 3;
export const PLAIN_PX = 6;

export function blurSentence(blurMm: number | null, narrowestLineMm: number | null, dpi: number): string {
  if (blurMm === null || narrowestLineMm === null) {
    return 'Nothing on this target tells the scanner’s blur: it has neither discs nor a slanted edge.';
  }
  const core = (FEWEST_PX * 25.4) / dpi;
  return (
    `Edges are blurred by ${fixed(EDGE_WIDTH * blurMm, 3)} mm (from 10 to 90 %). At ${fixed(dpi, 0)} dpi lines from ` +
    `${fixed(narrowestLineMm, 2)} mm on keep a middle that no blur reaches; narrower ones are read along their core with ` +
    `the blur undone, down to ${fixed(core, 2)} mm.`
  );
}

export function clippingSentence(clipped: readonly string[], largestShare: number): string {
  if (clipped.length > 0) {
    const one = clipped.length === 1;
    return `${one ? 'One patch is' : `${clipped.length} patches are`} clipped and ${one ? 'was' : 'were'} left out (${someOf(clipped)}): scan with less exposure, no automatic levels.`;
  }
  return largestShare === 0
    ? 'No pixel of any patch is clipped.'
    : `No patch is clipped; of the worst, ${percent(100 * largestShare)} of the pixels lie at an end of the scale.`;
}

export function lightSentence(light: ReportLight | null): string {
  if (!light) {
    return (
      'The light is taken as even: too little pale, bare, unclipped card tells otherwise, and no white sheet was scanned with it. ' +
      'Scan a bare white sheet with the same settings and say that it is this target’s white sheet.'
    );
  }
  const from = light.from === 'white-sheet' ? 'the scan of a white sheet' : 'the bare card around the patches';
  const [r, g, b] = light.rangePercent;
  return (
    `By ${from}, the light varies over this scan by ${percent(r)} in red, ${percent(g)} in green and ${percent(b)} in blue. ` +
    `It is divided out; single places still depart by ${percent(light.residualPercent)}.`
  );
}

export function kindWords({ bits, format, icc }: Pick<ReportScan, 'bits' | 'format' | 'icc'>): string {
  return `${bits}-bit ${format.toUpperCase()}, ${icc === null ? 'no profile' : `profile “${icc}”`}`;
}

const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
] as const;

/** '2026-05-03…' → '3 May 2026' */
export function dateWords(iso: string): string {
  const [year, month, day] = iso.slice(0, 10).split('-').map(Number);
  return `${day} ${MONTHS[month - 1]} ${year}`;
}

const MOST_NAMED = 8;

export function someOf(ids: readonly string[]): string {
  return ids.length <= MOST_NAMED
    ? listed(ids)
    : `${ids.slice(0, MOST_NAMED).join(', ')} and ${ids.length - MOST_NAMED} more`;
}

/** One decimal; two below a tenth, so that little is not nothing. */
export function percent(value: number): string {
  return `${fixed(value, value !== 0 && Math.abs(value) < 0.1 ? 2 : 1)} %`;
}
