/** Which finding answers for what was pointed at, and what a chosen finding points at. Pure. */
import type { QuantityName } from '../../analysis/quantity.ts';
import type { SheetRegion, TracedFinding } from '../../electron/backend/api.ts';
import { writingFigureOf, type WritingFigure, WRITING_FIGURES } from './arrange/writingGrid.ts';

/** What a region is asked first. */
const LEADS: Partial<Readonly<Record<SheetRegion['kind'], readonly QuantityName[]>>> = {
  strokes: ['shading', 'inkColour'],
  swab: ['swabVariation', 'inkColour'],
  paper: ['paperColour'],
  strip: ['bandPosition', 'originRetained'],
};

/**
 * A region of the scan was chosen: its finding of the kind that is being looked at, else its leading one.
 * @param figure what the writing grid shows now.
 */
export function findingOfRegion(
  region: SheetRegion,
  findings: readonly TracedFinding[],
  figure: WritingFigure,
): TracedFinding | null {
  const own = findings.filter(({ finding: { subject } }) => isJust(subject.regions, region.id));
  const shown: readonly QuantityName[] = WRITING_FIGURES.find(({ key }) => key === figure)?.quantities ?? [];
  const wanted = [...shown, ...(LEADS[region.kind] ?? [])];
  for (const quantity of wanted) {
    const found = own.find(({ finding }) => finding.quantity === quantity);
    if (found) return found;
  }
  return own[0] ?? null;
}

/** A band of a strip was chosen: the same figure of it as of the band before, else its place. */
export function findingOfBand(
  region: string,
  band: number,
  findings: readonly TracedFinding[],
  chosen: TracedFinding | null,
): TracedFinding | null {
  const own = findings.filter(({ finding: { subject } }) => isJust(subject.regions, region) && subject.band === band);
  const same = own.find(({ finding }) => finding.quantity === chosen?.finding.quantity);
  return same ?? own.find(({ finding }) => finding.quantity === 'bandPosition') ?? own[0] ?? null;
}

/** The same region's figure when another is wanted in the grid; null where the region has none. */
export function sameRegionOther(
  chosen: TracedFinding,
  findings: readonly TracedFinding[],
  figure: WritingFigure,
): TracedFinding | null {
  if (writingFigureOf(chosen.finding.quantity) === null) return null;
  const quantities: readonly QuantityName[] = WRITING_FIGURES.find(({ key }) => key === figure)?.quantities ?? [];
  const [region] = chosen.finding.subject.regions;
  return (
    findings.find(({ finding: f }) => isJust(f.subject.regions, region) && quantities.includes(f.quantity)) ?? null
  );
}

/** Scans that a finding's regions lie on, each once, in the regions' order. */
export function scansOf(
  finding: TracedFinding,
  regions: readonly { readonly region: Pick<SheetRegion, 'id' | 'scan'> }[],
): readonly string[] {
  const scans = finding.finding.subject.regions.flatMap(
    (id) => regions.find(({ region }) => region.id === id)?.region.scan ?? [],
  );
  return [...new Set(scans)];
}

function isJust(regions: readonly string[], id: string): boolean {
  return regions.length === 1 && regions[0] === id;
}

/** The region after (or before) the chosen one among those that have findings, round and round; null: none has. */
export function nextRegion(
  regions: readonly Pick<SheetRegion, 'id'>[],
  findings: readonly TracedFinding[],
  chosen: TracedFinding | null,
  by: 1 | -1,
): string | null {
  const measured = new Set(findings.flatMap(({ finding: { subject } }) => subject.regions));
  const ids = regions.flatMap(({ id }) => (measured.has(id) ? [id] : []));
  if (ids.length === 0) return null;
  const at = chosen ? ids.indexOf(chosen.finding.subject.regions[0]) : -1;
  if (at < 0) return by === 1 ? ids[0] : ids[ids.length - 1];
  return ids[(at + by + ids.length) % ids.length];
}
