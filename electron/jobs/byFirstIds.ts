/** An ink's work under the ids that its regions came with: what is measured of it is drawn and kept by those. */
import type { Standing } from '../answers/standing.ts';
import { calledNow, firstIdOf } from '../library/firstId.ts';
import type { SheetRegion } from '../sheet/sheetSchema.ts';

/** The same standing where no region was renamed. */
export function byFirstIds(standing: Standing): Standing {
  const { document, loaded, problems, madeFrom, isPair, isPens } = standing;
  const now = calledNow(document.regions);
  if (now === null) return standing;
  const first = new Map(document.regions.map((region) => [region.id, firstIdOf(region)]));
  const idOf = (id: string): string => first.get(id) ?? id;
  const asItCame = <R extends { readonly id: string }>(region: R): R => ({
    ...region,
    id: idOf(region.id),
    ...('of' in region && typeof region.of === 'string' && { of: idOf(region.of) }),
  });
  const keys = <T>(map: ReadonlyMap<string, T>) => new Map([...map].map(([id, value]) => [idOf(id), value]));
  return {
    ...standing,
    document: { ...document, regions: document.regions.map((region): SheetRegion => asItCame(region)) },
    loaded: {
      ...loaded,
      sheet: { ...loaded.sheet, regions: loaded.sheet.regions.map(asItCame) },
      regions: loaded.regions.map(asItCame),
      problems: loaded.problems.map(({ region, message }) => ({ region: idOf(region), message })),
    },
    problems: keys(problems),
    madeFrom: keys(madeFrom),
    isPens: (regions, on) =>
      isPens(
        regions.map((id) => now(id).id),
        on,
      ),
    isPair: (a, b) => isPair(now(a).id, now(b).id),
  };
}
