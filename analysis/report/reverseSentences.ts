/** Sentences about the back of a page. */
import type { QuantityName } from '../quantity.ts';
import { quoted } from './names.ts';
import { type Told, verdictClause } from './telling.ts';

type ReverseName = Extract<QuantityName, `ghosting${string}` | `bleedThrough${string}`>;

export const REVERSE_SENTENCES: Readonly<Record<ReverseName, (told: Told) => string>> = {
  ghosting: (told) => `On ${reverse(told)} the writing shows through by ${told.amount}${verdictClause(told.finding)}.`,
  'ghosting.printThrough': (told) =>
    `As print-through, the writing on ${reverse(told)} has a density of ${told.amount}.`,
  bleedThrough: (told) =>
    `Ink came through on ${told.amount} of the inked area of ${reverse(told)}${verdictClause(told.finding)}.`,
  'bleedThrough.dots': (told) => `The number of dots that came through on ${reverse(told)} is ${told.amount}.`,
  'bleedThrough.next': (told) =>
    `The number of dots that reached the next sheet (${quoted(told.ids[0])}) is ${told.amount}.`,
  'bleedThrough.nextArea': (told) =>
    `The dots that reached the next sheet (${quoted(told.ids[0])}) cover ${told.amount}.`,
  'bleedThrough.area': (told) => `The dots that came through on ${reverse(told)} cover ${told.amount}.`,
};

function reverse({ ids }: Told): string {
  return `the reverse ${quoted(ids[0])}`;
}
