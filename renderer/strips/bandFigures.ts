/** A strip's bands with all that is told of each, from its findings. Pure. */
import { hueWithDoubt } from '../../analysis/hueWithDoubt.ts';
import type { LabValue, QuantityName } from '../../analysis/quantity.ts';
import { fixed, withUncertainty } from '../../analysis/report/valueText.ts';
import type { StripDetail, TracedFinding } from '../../electron/backend/api.ts';

export interface BandFigures {
  readonly band: number;
  readonly centreMm: number;
  readonly fromMm: number;
  readonly toMm: number;
  readonly lab: LabValue;
  readonly rF: number | null;
  /** With ±; '' where it cannot be told. */
  readonly rFWords: string;
  readonly shareWords: string;
  /** '263 ± 7°', or 'nearly grey'. */
  readonly hueWords: string;
  /** ISCC–NBS name. */
  readonly name: string;
  /** Finding to choose for it. */
  readonly key: string | null;
}

/** A band that was set stays within 1.2 mm of its place, its crown a little farther where it has a tail. */
const NEAR_MM = 3;

/** Whether a band is told about a place, mm of the box. */
export function isToldAt(bands: readonly BandFigures[], mm: number): boolean {
  return bands.some(({ centreMm, fromMm, toMm }) => Math.abs(centreMm - mm) <= NEAR_MM || (mm >= fromMm && mm <= toMm));
}

export function bandFigures(
  region: string,
  strip: StripDetail,
  findings: readonly TracedFinding[],
): readonly BandFigures[] {
  const of = (quantity: QuantityName, band: number): TracedFinding | undefined =>
    findings.find(
      ({ finding: { quantity: q, subject } }) =>
        q === quantity && subject.band === band && subject.regions.length === 1 && subject.regions[0] === region,
    );
  return strip.bands.map(({ band, centreMm, fromMm, toMm, lab, rF }) => {
    const [place, share, colour] = [of('bandPosition', band), of('bandShare', band), of('bandColour', band)];
    return {
      band,
      centreMm,
      fromMm: Math.min(fromMm, toMm),
      toMm: Math.max(fromMm, toMm),
      lab,
      rF,
      rFWords: numberWords(place),
      shareWords: numberWords(share),
      hueWords: hueWords(lab, colour?.finding.u),
      name: colour?.finding.verdict ?? '',
      key: (place ?? share ?? colour)?.key ?? null,
    };
  });
}

/** As the table of all dyes writes it. @param u of the band's colour; a band that is not measured yet has none */
function hueWords(lab: LabValue, u: number | LabValue | null | undefined): string {
  const known = typeof u === 'object' && u !== null;
  const hue = hueWithDoubt(lab, known ? u : [0, 0, 0]);
  return hue === null ? 'nearly grey' : `${fixed(hue.deg, 0)} ± ${known ? fixed(2 * hue.u, 0) : '?'}°`;
}

function numberWords(traced: TracedFinding | undefined): string {
  const value = traced?.finding.value;
  const u = traced?.finding.u;
  return typeof value === 'number' ? withUncertainty(value, typeof u === 'number' ? u : null) : '';
}

/** 'Band 2, R_F 0.620 ± 0.007, pale yellow green', for those who hear it. */
export function bandLabel({ band, rFWords, name }: BandFigures): string {
  return [`Band ${band}`, ...(rFWords === '' ? [] : [`R_F ${rFWords}`]), ...(name === '' ? [] : [name])].join(', ');
}
