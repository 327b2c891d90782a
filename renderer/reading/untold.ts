/** Regions of which nothing can be told, with why; those that fail alike stand together. Pure. */
import type { FindingsReport, Work } from '../../electron/backend/api.ts';

export interface Untold {
  readonly why: string;
  readonly regions: readonly { readonly id: string; readonly scan: string }[];
}

/** In the regions' own order. What was never measured is no fault and is told beside the tables. */
export function untoldRegions(
  { regions }: Pick<Work, 'regions'>,
  { problems }: Pick<FindingsReport, 'problems'>,
): readonly Untold[] {
  const whys = new Map<string, { id: string; scan: string }[]>();
  for (const { region, problem } of regions) {
    const own = problems.filter((p) => p.region === region.id).map(({ message }) => message);
    for (const why of problem === null ? new Set(own) : [problem]) {
      const place = { id: region.id, scan: region.scan };
      whys.set(why, [...(whys.get(why) ?? []), place]);
    }
  }
  return [...whys].map(([why, alike]) => ({ why, regions: alike }));
}
