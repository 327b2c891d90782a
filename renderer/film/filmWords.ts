/** What is said of a fit as a whole. */
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import { quoted } from '../../analysis/report/names.ts';
import { listed } from '../../analysis/report/words.ts';
import type { TracedFinding } from '../../electron/backend/api.ts';
import type { FilmOfInk } from '../../electron/backend/filmAnswer.ts';
import { absorptionData, peakText } from './absorptionData.ts';

/** '“white” and “yellow”': what was fitted together. */
export function fitName({ curves }: Pick<FilmOfInk, 'curves'>): string {
  return listed(curves.map(({ paper }) => quoted(paper)));
}

export function leadSentence(fit: FilmOfInk, finding?: Pick<Quantity, 'value' | 'u'>): string {
  const { points, curves } = fit;
  const { peak } = absorptionData(fit, finding);
  const where = curves.length === 1 ? quoted(curves[0].paper) : `${curves.length} papers`;
  const strongest = peak === null ? '' : `, strongest at ${peakText(peak)}`;
  return `One absorption curve${strongest}, tells all ${points.length} measured doses on ${where}; what lies between and beyond them follows from it.`;
}

/** The ink's own finding that belongs to this fit: the one whose regions it shares. */
export function ofFit(
  findings: readonly TracedFinding[],
  quantity: QuantityName,
  { regions }: Pick<FilmOfInk, 'regions'>,
): Quantity | undefined {
  return findings.find(
    ({ finding }) => finding.quantity === quantity && finding.subject.regions.some((id) => regions.includes(id)),
  )?.finding;
}
