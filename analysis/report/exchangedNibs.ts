/** Nibs whose lines contradict their names: a broad nib measured narrower than a fine one on the same paper. */
import type { Quantity } from '../quantity.ts';
import { findingKey } from './findingKey.ts';
import { type Names, nibWord, onPaper, regionName, stampedOrder } from './names.ts';
import { figureText } from './titles.ts';
import { capital } from './words.ts';

export interface ExchangedNibs {
  readonly text: string;
  /** The width of the line that should be the broader. */
  readonly key: string;
}

interface Line {
  readonly nib: string;
  readonly order: number;
  readonly paper: string | null;
  readonly width: Quantity & { readonly value: number; readonly u: number };
}

/** Each two nibs once, where they are furthest apart: by more than ± 2u of their difference. Nibs without a stamped name are not judged. */
export function exchangedNibs(names: Names): readonly ExchangedNibs[] {
  const lines = [...names.findings.values()].flatMap((width) => lineOf(width, names));
  const furthest = new Map<string, { thin: Line; thick: Line; by: number }>();
  for (const thin of lines) {
    for (const thick of lines) {
      if (thin.order >= thick.order || thin.paper !== thick.paper) continue;
      const by = thin.width.value - thick.width.value;
      if (by <= 2 * Math.hypot(thin.width.u, thick.width.u)) continue;
      const both = `${thin.nib}\n${thick.nib}`;
      if (by > (furthest.get(both)?.by ?? 0)) furthest.set(both, { thin, thick, by });
    }
  }
  return [...furthest.values()].map(({ thin, thick }) => ({
    text:
      `${capital(linesOf(thick, names))} are ${figureText(thick.width)} wide, those of the ${nibWord(thin.nib)} nib ${figureText(thin.width)}: ` +
      'are the two nibs’ names exchanged, or are the pens of two makers?',
    key: findingKey(thick.width),
  }));
}

function linesOf({ nib, width }: Line, names: Names): string {
  return `the lines of the ${nibWord(nib)} nib${onPaper(names, width.subject.regions[0])}`;
}

function lineOf(width: Quantity, names: Names): Line[] {
  const { quantity, value, u, subject } = width;
  if (quantity !== 'lineWidth' || typeof value !== 'number' || typeof u !== 'number') return [];
  const { nib, paper } = regionName(names, subject.regions[0]);
  const order = nib === null ? -1 : stampedOrder(nib);
  return nib === null || order < 0 ? [] : [{ nib, order, paper, width: { ...width, value, u } }];
}
