/**
 * Sections of tables come one in each frame, and of a long table that begins below what is seen one group of rows in each: laid out in
 * one go they would hold the window. Of one in sight all rows come at once, for its columns would move with each group.
 */
import { startTransition, useEffect, useState } from 'react';
import { onceLaidOut } from '../../look/onceLaidOut.ts';
import { type DrawnSoFar, nextDrawn, type SectionInTurn } from './nextDrawn.ts';

export interface DrawnSections extends DrawnSoFar {
  readonly isAll: boolean;
}

/** @param isFull whether what is drawn reaches below what is seen; asked when the page is laid out. Keep it the same function. */
export function useSectionsInTurn(sections: readonly SectionInTurn[], isFull: () => boolean): DrawnSections {
  const [{ drawn, groups }, setDrawn] = useState<DrawnSoFar>({ drawn: 1, groups: null });
  const isAll = drawn >= sections.length && groups === null;
  useEffect(() => {
    if (isAll) return;
    return onceLaidOut(() => {
      const next = nextDrawn(sections, { drawn, groups }, isFull);
      startTransition(() => setDrawn(next));
    });
  }, [sections, drawn, groups, isAll, isFull]);
  return { drawn: Math.min(drawn, sections.length), groups, isAll };
}
