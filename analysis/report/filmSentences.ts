/** Sentences about the ink as one film: its absorption, its doses, and how well one curve tells all of them. */
import type { QuantityName } from '../quantity.ts';
import { onPaper, paperShort, sampleNoun } from './names.ts';
import { type Told, verdictClause } from './telling.ts';

type FilmName = Extract<QuantityName, 'absorption' | 'doseCurve' | 'fitQuality'>;

export const FILM_SENTENCES: Readonly<Record<FilmName, (told: Told) => string>> = {
  absorption: ({ amount, ids }) =>
    `The ink absorbs most at ${amount}, as told from ${ids.length === 1 ? 'one sample' : `${ids.length} samples`}.`,
  doseCurve: ({ names, ids, amount }) =>
    `On ${paperShort(names, ids[0])} the densest ink that was seen holds ${amount} times as much as the palest.`,
  fitQuality: (told) => {
    const { finding, names, ids, amount } = told;
    const several = ids.length === 2 ? 'both samples' : `all ${ids.length} samples`;
    const of = ids.length === 1 ? sampleNoun(names, ids[0]) + onPaper(names, ids[0]) : several;
    return `One film tells ${of} with ${amount} times the misfit that noise alone would leave${verdictClause(finding)}.`;
  },
};
