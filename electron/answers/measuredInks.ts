/** An ink's findings gathered from the library for what is asked of its pens: fits, papers and bars as they were last measured. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { MeasuredBar } from '../../analysis/measure/opacity/measuredBar.ts';
import { recalledFilms } from '../jobs/keptFilms.ts';
import { type MeasuredInks, penRegion } from '../jobs/opacityFindings.ts';
import type { Library } from '../library/library.ts';
import { loadedSheet } from '../library/loadedSheet.ts';
import { lastMeasured } from './regionDetail.ts';

export async function measuredInks(library: Library, ink: number): Promise<MeasuredInks> {
  const saved = library.findings(ink)?.findings ?? [];
  const regions = loadedSheet(library, ink).regions.map(penRegion);
  const there = new Set(regions.map(({ id }) => id));
  const kept = saved.filter(({ finding }) => finding.subject.regions.every((id) => there.has(id)));
  const findings = kept.map(({ finding }) => finding);
  const fits = (recalledFilms(library, ink) ?? []).flatMap(({ inks }) => inks);
  const papers = new Map<string, LabValue>();
  const bars = new Map<string, MeasuredBar>();
  // Where the film tells a colour it tells the paper, too; a result holds pixels, and is opened only for want of that.
  for (const { quantity, subject, byMap } of findings) {
    const [id] = subject.regions;
    const isColour = quantity === 'inkColour' && byMap === undefined;
    if (!isColour && quantity !== 'contrastRatio') continue;
    const result = (await lastMeasured(library, ink, id))?.result;
    if (result?.ink) papers.set(id, result.ink.paper.lab);
    if (result?.bar) bars.set(id, result.bar);
  }
  return {
    regions,
    findings,
    fits,
    paperUnder: (id) => papers.get(id) ?? null,
    barOf: (id) => bars.get(id) ?? null,
  };
}
