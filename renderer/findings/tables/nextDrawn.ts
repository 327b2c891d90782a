/** What of a page's tables is drawn after what is drawn by now. Pure. */
import type { FindingsTable } from '../arrange/table.ts';

export interface SectionInTurn {
  readonly tables: readonly Pick<FindingsTable, 'groups'>[];
}

export interface DrawnSoFar {
  /** Sections that are drawn by now. */
  readonly drawn: number;
  /** Groups of rows of the last one's tables; null: all. */
  readonly groups: number | null;
}

/** @param isFull whether what is drawn reaches below what is seen; asked only of a section that could come in groups */
export function nextDrawn(
  sections: readonly SectionInTurn[],
  { drawn, groups }: DrawnSoFar,
  isFull: () => boolean,
): DrawnSoFar {
  if (groups !== null) return { drawn, groups: groups + 1 < groupsOf(sections[drawn - 1]) ? groups + 1 : null };
  return { drawn: drawn + 1, groups: groupsOf(sections[drawn]) > 1 && isFull() ? 1 : null };
}

/** Of its longest table. */
function groupsOf(section: SectionInTurn | undefined): number {
  return Math.max(0, ...(section?.tables ?? []).map((table) => table.groups.length));
}
