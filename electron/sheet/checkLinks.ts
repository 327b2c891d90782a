/** Ids once each, and every name in a sheet pointing at something of the right kind. */
import { didYouMean } from '../nearestWord.ts';
import { SheetError } from './sheetError.ts';
import type { Sheet, SheetRegion } from './sheetSchema.ts';

/** What a region of a kind may name by "of". */
const OF: Readonly<Partial<Record<SheetRegion['kind'], readonly SheetRegion['kind'][]>>> = {
  hatch: ['hatch'],
  reverse: ['paper', 'strokes', 'swab', 'bar', 'hatch', 'swipe'],
};

/** @throws SheetError 'id-twice', 'no-such-scan', 'no-such-region', 'wrong-link' */
export function checkLinks(sheet: Sheet, fileName: string): void {
  const refuse = (code: string, message: string): never => {
    throw new SheetError(code, `${fileName}: ${message}`);
  };
  once(sheet.scans, 'scans', refuse);
  once(sheet.regions, 'regions', refuse);
  const scanIds = sheet.scans.map((s) => s.id);
  const regionIds = sheet.regions.map((r) => r.id);
  const known = (where: string, id: string, ids: readonly string[], noun: string): void => {
    if (ids.includes(id)) return;
    const expected = ids.length === 0 ? `none is listed` : `expected one of ${some(ids)}`;
    refuse(`no-such-${noun}`, `${where}: no ${noun} "${id}"; ${expected}${didYouMean(id, ids) || '.'}`);
  };

  sheet.scans.forEach((scan, i) => {
    if (scan.of === undefined) return;
    const where = `scans[${i}].of (scan "${scan.id}")`;
    known(where, scan.of, scanIds, 'scan');
    if (scan.side !== 'back')
      refuse('wrong-link', `${where}: only a scan with "side": "back" names its front. Add the side or remove "of".`);
    if (sheet.scans.find((s) => s.id === scan.of)?.side === 'back') {
      refuse('wrong-link', `${where}: "${scan.of}" is a back itself; expected the front of this sheet of paper.`);
    }
  });
  sheet.regions.forEach((region, i) => {
    known(`regions[${i}].scan (region "${region.id}")`, region.scan, scanIds, 'scan');
    const of = 'of' in region ? region.of : undefined;
    if (of === undefined) return;
    const where = `regions[${i}].of (region "${region.id}")`;
    known(where, of, regionIds, 'region');
    const other = sheet.regions.find((r) => r.id === of);
    const kinds = OF[region.kind] ?? [];
    if (other === undefined || other === region || !kinds.includes(other.kind)) {
      refuse(
        'wrong-link',
        `${where}: "${of}" is ${other === region ? 'this region itself' : `a ${other?.kind}`}; expected another region of kind ${kinds.join(', ')}.`,
      );
    }
    if (region.kind === 'hatch' && other?.kind === 'hatch' && (region.state === 'before' || other.state === 'after')) {
      refuse(
        'wrong-link',
        `${where}: "of" leads from the hatch after to the hatch before, not the other way. Swap the states or the link.`,
      );
    }
  });
}

/** A line that can be read, of however many. */
const MOST_NAMED = 20;

function some(ids: readonly string[]): string {
  const more = ids.length - MOST_NAMED;
  return more > 0 ? `${ids.slice(0, MOST_NAMED).join(', ')} and ${more} more` : ids.join(', ');
}

function once(things: readonly { id: string }[], list: string, refuse: (code: string, message: string) => never): void {
  things.forEach(({ id }, i) => {
    const first = things.findIndex((other) => other.id === id);
    if (first < i)
      refuse(
        'id-twice',
        `${list}[${i}].id: "${id}" is the id of ${list}[${first}] already; expected each once. Rename one.`,
      );
  });
}
