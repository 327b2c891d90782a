/** Sentences about what lies under the ink: how much of it shows, and what the ink will look like elsewhere. */
import type { QuantityName } from '../quantity.ts';
import { nibWord, paperShort, quoted, regionName, type Names } from './names.ts';
import { figureText } from './titles.ts';
import { type Told, type ToldColour, verdictClause } from './telling.ts';

type OpacityName = Extract<
  QuantityName,
  'film' | `contrastRatio${string}` | `hiding${string}` | 'predictedColour.error'
>;

export const OPACITY_SENTENCES: Readonly<Record<OpacityName, (told: Told) => string>> = {
  film: (told) => `The layer of ${layerNoun(told)} lets ${told.amount} of the light through on each pass.`,
  contrastRatio: (told) =>
    `Over the printed bar, ${layerNoun(told)} sends back ${told.amount} of the light that it sends back over white.`,
  'contrastRatio.predicted': (told) =>
    `Over perfect black, ${layerNoun(told)} would send back ${told.amount} of the light that it sends back over white.`,
  hiding: (told) => {
    const [first, second] = told.ids.map((id) => paperShort(told.names, id));
    return `Of the difference between ${first} and ${second}, ${layerNoun(told)} hides ${told.amount}${verdictClause(told.finding)}.`;
  },
  'hiding.predicted': (told) =>
    `Of what ${quoted(told.finding.subject.on ?? '')} differs by from the palest paper that it lies on, ${layerNoun(told)} would hide ${told.amount}${verdictClause(told.finding)}.`,
  'predictedColour.error': (told) =>
    `Foretold from the other papers alone, the colour of ${layerNoun(told)} on ${paperShort(told.names, told.ids[0])} is off by ${told.amount}.`,
};

export function predictedColour({ names, ids, finding }: ToldColour): string {
  const word = finding.verdict === undefined ? '' : `${finding.verdict}: `;
  return `On ${quoted(finding.subject.on ?? '')}, ${layerNoun({ names, ids })} will be ${word}${figureText(finding)}.`;
}

/** 'the broad nib’s ink', 'the ink of the swabs'. */
export function layerNoun({ names, ids }: { readonly names: Names; readonly ids: readonly string[] }): string {
  const own = ids.map((id) => regionName(names, id));
  const [first] = own;
  if (first && first.nib !== null && own.every(({ nib, kind }) => nib === first.nib && kind !== 'swab')) {
    return `the ${nibWord(first.nib)} nib’s ink`;
  }
  if (own.length > 0 && own.every(({ kind }) => kind === 'swab'))
    return `the ink of the ${own.length > 1 ? 'swabs' : 'swab'}`;
  return 'the ink';
}
