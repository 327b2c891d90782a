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

/** @param used whether findings are told by this fit: one that is not believed, or too weak, is shown beside the map alone */
export function leadSentence(fit: FilmOfInk, used: boolean, finding?: Pick<Quantity, 'value' | 'u'>): string {
  const { points, curves } = fit;
  const { peak } = absorptionData(fit, finding);
  const where = curves.length === 1 ? quoted(curves[0].paper) : `${curves.length} papers`;
  const strongest = peak === null ? '' : `, strongest at ${peakText(peak)}`;
  const doses = `${points.length} measured doses on ${where}`;
  if (used) {
    return `One absorption curve${strongest}, tells the ${doses}; what lies between and beyond them follows from it.`;
  }
  return `One absorption curve${strongest}, was fitted to ${doses}. It stands beside the target’s map, which still tells the findings.`;
}

/** Whether any finding of its regions is told by the fit. */
export function isUsed(findings: readonly TracedFinding[], { regions }: Pick<FilmOfInk, 'regions'>): boolean {
  return findings.some(
    ({ finding }) => finding.byMap !== undefined && finding.subject.regions.some((id) => regions.includes(id)),
  );
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
