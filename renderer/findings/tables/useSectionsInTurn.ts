/**
 * Sections of tables come one in each frame, and of a long table that begins below what is seen one group of rows in each: laid out in
 * one go they would hold the window. Of one in sight all rows come at once, for its columns would move with each group.
 */
import { startTransition, useEffect, useState } from 'react';
import { onceLaidOut } from '../../look/onceLaidOut.ts';
import type { FindingsTable } from '../arrange/table.ts';

interface SectionInTurn {
  readonly tables: readonly FindingsTable[];
}

export interface DrawnSections {
  /** Sections that are drawn by now. */
  readonly drawn: number;
  /** Groups of rows of the last one's tables; null: all. */
  readonly groups: number | null;
  readonly isAll: boolean;
}

/** @param isFull whether what is drawn reaches below what is seen; asked when the page is laid out. Keep it the same function. */
export function useSectionsInTurn(sections: readonly SectionInTurn[], isFull: () => boolean): DrawnSections {
  const [{ drawn, groups }, setDrawn] = useState<Omit<DrawnSections, 'isAll'>>({ drawn: 1, groups: null });
  const isAll = drawn >= sections.length && groups === null;
  useEffect(() => {
    if (isAll) return;
    return onceLaidOut(() => {
      const next = nextOf(sections, { drawn, groups }, isFull);
      startTransition(() => setDrawn(next));
    });
  }, [sections, drawn, groups, isAll, isFull]);
  return { drawn: Math.min(drawn, sections.length), groups, isAll };
}

function nextOf(
  sections: readonly SectionInTurn[],
  { drawn, groups }: Omit<DrawnSections, 'isAll'>,
  isFull: () => boolean,
): Omit<DrawnSections, 'isAll'> {
  if (groups !== null) return { drawn, groups: groups + 1 < groupsOf(sections[drawn - 1]) ? groups + 1 : null };
  return { drawn: drawn + 1, groups: groupsOf(sections[drawn]) > 1 && isFull() ? 1 : null };
}

/** Of its longest table. */
function groupsOf(section: SectionInTurn | undefined): number {
  return Math.max(0, ...(section?.tables ?? []).map((table) => table.groups.length));
}
