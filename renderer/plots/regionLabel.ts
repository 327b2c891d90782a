/** What a sample is called beside its curve: its nib, else its own name, with the paper where several are shown. */
import { nibWord } from '../../analysis/report/names.ts';
import { paperOf, type PlottedWork } from './regionPaper.ts';

export function regionLabel(work: PlottedWork, id: string, severalPapers: boolean): string {
  const region = work.regions.find((r) => r.region.id === id)?.region;
  const nib = region && 'nib' in region ? region.nib : undefined;
  if (region?.kind !== 'strokes' || nib === undefined) return id;
  const paper = severalPapers ? paperOf(work, id)?.split(',')[0] : undefined;
  return paper === undefined ? nibWord(nib) : `${nibWord(nib)}, ${paper}`;
}
